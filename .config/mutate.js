/**
 * `npm run mutate -- ROOM [FILE...]` plants faults in `src/ROOM`, one at a time, runs the tests of the room against each, and
 * prints the share of them that the tests noticed. A FILE under `src` narrows what is mutated; those under `tests` are run
 * instead of all that is usual. What is left over is told place by place, and kept in dist/mutate.
 */
import { existsSync } from 'node:fs'
import { availableParallelism } from 'node:os'
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

const [room = '', ...files] = process.argv.slice(2)
const strays = files.filter((file) => !/^(src|tests)\//.test(file) || !existsSync(file))
if (!/^[a-z]+(\/[a-z]+)?$/.test(room) || !existsSync(`src/${room}`) || strays.length > 0) {
  console.error(
    strays.length > 0
      ? `No such file: ${strays.join(', ')}. Name files from the root of the project, under src or tests.`
      : 'Name a room, a folder of src: npm run mutate -- port',
  )
  process.exit(2)
}
const under = (/** @type {string} */ folder) => files.filter((file) => file.startsWith(`${folder}/`))
const [sources, tests] = [under('src'), under('tests')]

const results = await new Stryker({
  testRunner: 'vitest',
  plugins: ['@stryker-mutator/vitest-runner'],
  vitest: { configFile: '.config/vitest.mutate.ts', related: false },
  // A table only writes files, and those are held against it byte by byte.
  mutate: sources.length > 0 ? sources : [`src/${room}/**/*.ts`, '!**/*.table.ts'],
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
console.log(
  `\n${room}: ${tally.noticed} of ${tally.all} faults were noticed, ${((100 * tally.noticed) / tally.all).toFixed(1)} %`,
)
