/**
 * `npm run mutate -- ROOM [FILE...]` plants faults in `src/ROOM`, one at a time, runs the tests of the room against each, and
 * prints the share of them that the tests noticed. A FILE under `src` narrows what is mutated; those under `tests` are run
 * instead of all that is usual. `--one-in N` mutates every N-th stretch of a few lines only, the same ones each time: a score of a
 * large room, with how far off it may be. What is left over is told place by place, and kept in dist/mutate.
 */
import { existsSync, readFileSync, readdirSync } from 'node:fs'
import { availableParallelism } from 'node:os'
import { parseArgs } from 'node:util'
import { Stryker } from '@stryker-mutator/core'

/**
 * Tests that stand elsewhere, hold a room to account, and are quick enough to be run again for every fault.
 *
 * @type {Partial<Record<string, readonly string[]>>}
 */
const ELSEWHERE = {
  port: ['tests/outside/clocks.test.ts'],
  document: ['tests/{pad/layout,profile,title}/file.test.ts', 'tests/outside/crc32.test.ts'],
}

const { values, positionals } = parseArgs({
  options: { 'one-in': { type: 'string', default: '1' } },
  allowPositionals: true,
})
const oneIn = Number(values['one-in'])
const [room = '', ...files] = positionals
if (!Number.isInteger(oneIn) || oneIn < 1) {
  console.error('--one-in takes a whole number from 1: every stretch, every second, and so on.')
  process.exit(2)
}
const strays = files.filter((file) => !/^(src|tests)\//.test(file) || !existsSync(file))
if (!/^[a-z]+(\/[a-z]+)?$/.test(room) || !existsSync(`src/${room}`) || strays.length > 0) {
  console.error(
    strays.length > 0
      ? `No such file: ${strays.join(', ')}. Name files from the root of the project, under src or tests.`
      : 'Name a room, a folder of src: npm run mutate -- port',
  )
  process.exit(2)
}
/** In lines: long enough for a branch to lie within it, since what reaches over an end is left out. */
const STRETCH = 25

/** Every N-th stretch of some files, counted from file to file, in the form `FILE:FROM-TO`. */
function everyNth(/** @type {string[]} */ all) {
  if (oneIn === 1) return all
  let k = 0
  return all.flatMap((file) => {
    const lines = readFileSync(file, 'utf8').split('\n').length
    return Array.from({ length: Math.ceil(lines / STRETCH) }, (_, part) => part * STRETCH + 1)
      .filter(() => k++ % oneIn === 0)
      .map((from) => `${file}:${from}-${Math.min(lines, from + STRETCH - 1)}`)
  })
}

/** What can be mutated; a table only writes files, and those are held against it byte by byte. */
const mutable = () =>
  readdirSync(`src/${room}`, { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.ts') && !file.endsWith('.table.ts') && !file.endsWith('.d.ts'))
    .map((file) => `src/${room}/${file}`)
    .sort()

const under = (/** @type {string} */ folder) => files.filter((file) => file.startsWith(`${folder}/`))
const [sources, tests] = [under('src'), under('tests')]

const results = await new Stryker({
  testRunner: 'vitest',
  plugins: ['@stryker-mutator/vitest-runner'],
  vitest: { configFile: '.config/vitest.mutate.ts', related: false },
  mutate: everyNth(sources.length > 0 ? sources : mutable()),
  testFiles: tests.length > 0 ? tests : [`tests/${room}/**/*.test.ts`, ...(ELSEWHERE[room] ?? [])],
  ignorePatterns: ['/dist', '/.ci'],
  // Types are not looked at when tests are run.
  disableTypeChecks: false,
  tempDirName: 'dist/mutate/sandbox',
  cleanTempDir: 'always',
  reporters: ['clear-text', 'json', 'progress-append-only'],
  jsonReporter: { fileName: `dist/mutate/${room.replace('/', '-')}.json` },
  clearTextReporter: { logTests: false, reportTests: false, allowColor: process.stdout.isTTY },
  concurrency: Math.min(2, availableParallelism()),
  // Long, as a busy machine must not pass for a fault that was noticed.
  timeoutMS: 60_000,
  allowConsoleColors: process.stdout.isTTY,
}).runMutationTest()

const tally = { noticed: 0, all: 0 }
for (const { status } of results) {
  if (status === 'Ignored' || status === 'CompileError' || status === 'RuntimeError') continue
  tally.all++
  if (status === 'Killed' || status === 'Timeout') tally.noticed++
}
const share = tally.noticed / tally.all
// Twice the standard error of a share (normal approximation); none where everything was mutated.
const off = oneIn === 1 ? '' : ` ± ${(200 * Math.sqrt((share * (1 - share)) / tally.all)).toFixed(1)}`
console.log(
  `\n${room}: ${tally.noticed} of ${tally.all} faults were noticed, ${(100 * share).toFixed(1)}${off} %`,
)
