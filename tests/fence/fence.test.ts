import { readFileSync, readdirSync } from 'node:fs'
import { ESLint } from 'eslint'
import { beforeAll, describe, expect, test } from 'vitest'

/** The fence between the rooms, tried by planting what must not stand there. */

const ROOT = new URL('../../', import.meta.url)
const eslint = new ESLint({ cwd: ROOT.pathname })

/** Which rules of the fence refuse a text in a file that is not there. */
async function refusals(path: string, text: string): Promise<string[]> {
  const [result] = await eslint.lintText(text, { filePath: path })
  const messages = result?.messages ?? []
  // A text that cannot be parsed would be refused, and would show nothing.
  expect(messages.filter(({ fatal }) => fatal)).toEqual([])
  return messages.flatMap(({ ruleId }) => (ruleId?.startsWith('fence/') ? [ruleId] : []))
}

interface Room {
  readonly name: string
  readonly imports: string
  readonly uses: string
}

/** The table in DEVELOPERS.md, as a reader sees it. */
function tableOfRooms(): Room[] {
  const rows = readFileSync(new URL('DEVELOPERS.md', ROOT), 'utf8').matchAll(
    /^\| `src\/(.+?)` *\|[^|]*\| (.+?) *\| (.+?) *\|$/gm,
  )
  return [...rows].map(([, name = '', imports = '', uses = '']) => ({ name, imports, uses }))
}

const ROOMS = tableOfRooms()

/** Files that a room imports and that stand in no room. */
const OUTSIDE = ['package.json', 'static/firmware']

/** What the rule makes of the table. */
async function ruleOf(room: string): Promise<Record<string, unknown>> {
  const config = (await eslint.calculateConfigForFile(`src/${room}/planted.ts`)) as {
    rules: Record<string, [number, { rooms: Record<string, unknown>[] }]>
  }
  const rule = config.rules['fence/one-way']
  expect(rule?.[0]).toBe(2)
  expect(config.rules['fence/pure']).toEqual(rule)
  return rule?.[1].rooms.find(({ name }) => name === room) ?? {}
}

// The first text that ESLint sees loads its parsers.
beforeAll(async () => void (await refusals('src/port/planted.ts', '')), 120_000)

describe('the table of rooms', () => {
  const names = ROOMS.map(({ name }) => name)

  test('has a row for each folder, and each row has its folder', () => {
    const folders = readdirSync(new URL('src/', ROOT), { withFileTypes: true }).filter((entry) =>
      entry.isDirectory(),
    )
    const within = ['adapter/emulator', 'adapter/firmware']
    expect([...names].sort()).toEqual([...folders.map(({ name }) => name), ...within].sort())
  })

  test.each(ROOMS)('is what the rule goes by: $name', async ({ name, imports, uses }) => {
    const rule = await ruleOf(name)
    const above = names.slice(0, names.indexOf(name))
    const allowed = rule['imports'] as string[]
    for (const one of allowed) expect([...above, ...OUTSIDE]).toContain(one)
    const all = /^all above but ([^;]*)(?:; (.*))?$/.exec(imports)
    const stated = all
      ? [...above.filter((one) => !all[1]?.split(' and ').includes(one)), ...(all[2]?.split(', ') ?? [])]
      : imports.split(', ').filter((one) => one !== 'nothing')
    expect(allowed).toEqual(stated)
    const used = uses === 'nothing' ? [] : uses.split(', ')
    expect(rule['platform']).toBe(used.includes('the platform'))
    expect(rule['packages']).toEqual(
      used.filter((one) => one !== 'the platform').map((one) => one.slice(1, -1)),
    )
  })

  test('keeps words and port at the top, apart from each other', async () => {
    expect(names.slice(0, 2)).toEqual(['words', 'port'])
    expect((await ruleOf('words'))['imports']).toEqual([])
  })

  test('keeps all rooms pure up to the bench', () => {
    const pure = ROOMS.filter(({ uses }) => !uses.includes('the platform')).map(({ name }) => name)
    expect(pure).toEqual(['words', 'port', 'document', 'pad', 'profile', 'title', 'bench'])
  })
})

/** Every way to another file. */
const WAYS: readonly (readonly [string, (path: string) => string])[] = [
  ['import', (path) => `import { one } from '${path}'\nconsole.log(one)`],
  ['import for its effect', (path) => `import '${path}'`],
  ['import of a type', (path) => `import type { One } from '${path}'\nexport type Two = One`],
  ['import of a type among others', (path) => `import { type One } from '${path}'\nexport type Two = One`],
  ['type of an import', (path) => `export type Two = typeof import('${path}')`],
  ['import as', (path) => `import one = require('${path}')\nexport const two = one`],
  ['export from', (path) => `export { one } from '${path}'`],
  ['export of a type from', (path) => `export type { One } from '${path}'`],
  ['export of all', (path) => `export * from '${path}'`],
  ['export of all by a name', (path) => `export * as one from '${path}'`],
  ['dynamic import', (path) => `export const one = () => import('${path}')`],
  ['dynamic import by a template', (path) => `export const one = () => import(\`${path}\`)`],
  ['require', (path) => `export const one = require('${path}')`],
]

/** Every spelling of a way from `src/port` to a file in the bench. */
const SPELLINGS = [
  '../bench/judge.ts',
  './../bench/judge.ts',
  '.././bench/judge.ts',
  '..//bench/judge.ts',
  '../port/../bench/judge.ts',
  '../../src/bench/judge.ts',
  '../bench/judge.ts?raw',
  '../bench/judge.ts#a',
  '../Bench/judge.ts',
  '../%62ench/judge.ts',
  '..\\\\bench\\\\judge.ts',
  '/bench/judge.ts',
  '/src/bench/judge.ts',
  'src/bench/judge.ts',
  'ninepin/src/bench/judge.ts',
  '#bench/judge.ts',
  'file:///src/bench/judge.ts',
]

describe('one way', () => {
  test.each(WAYS)('refuses, going down: %s', async (_, plant) => {
    expect(await refusals('src/port/planted.ts', plant('../bench/judge.ts'))).toContain('fence/one-way')
  })

  test.each(SPELLINGS)('refuses %s', async (path) => {
    expect(await refusals('src/port/planted.ts', `import '${path}'`)).toContain('fence/one-way')
  })

  test.each([
    ['src/profile', 'node:fs'],
    ['src/profile', 'fs'],
    ['src/port', 'valibot'],
    ['src/document', 'fflate'],
    ['src/bench', 'svelte'],
    ['src/ui', 'node:fs'],
    ['src/cli', 'svelte'],
    ['src/adapter/emulator', '../../profile/schema.ts'],
    ['src/adapter/emulator', '../firmware/build.ts'],
    ['src/adapter', './emulator/chip.ts'],
    ['src/adapter', './firmware/build.ts'],
    ['src/ui', '../cli/fail.ts'],
    ['src/cli', '../ui/notices.svelte.ts'],
    ['src/ui', '../adapter/firmware/build.ts'],
    ['src/ui', '../../tests/tools.ts'],
    ['src/cli', '../../tests/reference/anything.ts'],
    ['src/cli', '../../node_modules/commander/index.js'],
    ['src/bench/fix', '../../cli/fail.ts'],
    ['src/words', '../port/pins.ts'],
    ['src/port', '../words/foreign.ts/../../bench/judge.ts'],
  ])('refuses, in %s, %s', async (folder, path) => {
    expect(await refusals(`${folder}/planted.ts`, `import '${path}'`)).toContain('fence/one-way')
  })

  test.each([
    ['a name that is computed', 'export const one = (name: string) => import(name)'],
    ['a pattern of files', `export const all = import.meta.glob('../bench/*.ts')`],
    ['a worker in another room', `export const one = new URL('../cli/main.ts', import.meta.url)`],
    ['a worker by a computed name', 'export const one = (name: string) => new URL(name, import.meta.url)'],
  ])('refuses %s', async (_, text) => {
    expect(await refusals('src/ui/planted.ts', text)).toContain('fence/one-way')
  })

  test('refuses it in a component, in its script and in its markup', async () => {
    const script = `<script lang="ts">\nimport { run } from '../cli/main.ts'\nrun()\n</script>`
    expect(await refusals('src/ui/Planted.svelte', script)).toContain('fence/one-way')
    const markup = `<button onclick={() => import('../cli/main.ts')}>one</button>`
    expect(await refusals('src/ui/Planted.svelte', markup)).toContain('fence/one-way')
    expect(
      await refusals('src/port/Planted.svelte', `<script lang="ts">\nimport '../bench/judge.ts'\n</script>`),
    ).toContain('fence/one-way')
  })

  test('refuses a file that stands in no room', async () => {
    expect(await refusals('src/planted.ts', 'export const one = 1')).toContain('fence/one-way')
    expect(await refusals('src/attic/planted.ts', 'export const one = 1')).toContain('fence/one-way')
  })

  test.each(['mts', 'cts', 'js', 'mjs'])('holds for files that end in %s', async (ending) => {
    const text = 'export { one } from "../bench/judge.ts"'
    expect(await refusals(`src/port/planted.${ending}`, text)).toContain('fence/one-way')
  })

  test.each([
    ['src/profile/planted.ts', `import * as v from 'valibot'\nexport const one = v.string()`],
    ['src/profile/planted.ts', `export { PINS } from '../port/pins.ts'`],
    ['src/port/planted.ts', `import { foreign } from '../words/foreign.ts'\nexport const one = foreign('')`],
    ['src/bench/fix/planted.ts', `import type { Fix } from '../fix.ts'\nexport type One = Fix`],
    ['src/adapter/emulator/planted.ts', `export { connect } from '../session.ts'`],
    ['src/cli/planted.ts', `import { readFileSync } from 'node:fs'\nexport const one = readFileSync`],
    ['src/cli/planted.ts', `export const one = () => import('./serial-port.ts')`],
    ['src/ui/fix/planted.ts', `export const one = new URL('./fix.worker.ts', import.meta.url)`],
    ['src/ui/Planted.svelte', `<script lang="ts">import { PINS } from '../port/pins.ts'</script>{PINS}`],
  ])('lets pass, in %s, %s', async (path, text) => {
    expect(await refusals(path, text)).toEqual([])
  })
})

describe('pure', () => {
  test.each([
    'Date.now()',
    'new Date()',
    'performance.now()',
    'Math.random()',
    `Math['random']()`,
    '(({ random }) => random())(Math)',
    'Math',
    'crypto.randomUUID()',
    'setTimeout(() => 0, 1)',
    'setInterval(() => 0, 1)',
    'queueMicrotask(() => 0)',
    'requestAnimationFrame(() => 0)',
    'localStorage',
    'indexedDB',
    'document',
    'window.document',
    'globalThis.document',
    `globalThis['document']`,
    'self.document',
    'navigator.language',
    'location.href',
    'fetch("/")',
    'process.env',
    'Buffer',
    'console.log(1)',
    'new Worker("a")',
    'new Intl.ListFormat()',
    'eval("1")',
    'Function("return 1")()',
    'new WeakRef({})',
    'import.meta.url',
    'typeof window',
  ])('refuses %s in port', async (expression) => {
    expect(await refusals('src/port/planted.ts', `export const one = ${expression}`)).toContain('fence/pure')
  })

  test.each(ROOMS.filter(({ uses }) => !uses.includes('the platform')))(
    'refuses a clock in $name, deep down as well',
    async ({ name }) => {
      const text =
        'export const one = () => [1].map(() => { const two = { three: () => Date.now() }; return two })'
      expect(await refusals(`src/${name}/planted.ts`, text)).toContain('fence/pure')
      expect(await refusals(`src/${name}/deep/er/planted.ts`, text)).toContain('fence/pure')
    },
  )

  test('lets pass what the language itself brings, and names that only look like the platform', async () => {
    const text = `
      export const one = (document: { location: number }) => Math.max(document.location, Number('1'))
      export const two = new Map<string, Uint8Array>([['self', new TextEncoder().encode('window')]])
      export const three = { fetch: 1, Date: 2 }`
    expect(await refusals('src/port/planted.ts', text)).toEqual([])
  })

  test('lets pass Intl where words are made, and a clock where the platform is used', async () => {
    expect(await refusals('src/words/planted.ts', `export const one = new Intl.PluralRules('en')`)).toEqual(
      [],
    )
    expect(await refusals('src/shelf/planted.ts', 'export const one = () => Date.now()')).toEqual([])
  })
})

/** A comment that switches rules off; without the name of a rule it is all of them. */
const DIRECTIVE = /(?:eslint-disable(?:-next-line|-line)?|[/<!*]+ *eslint(?= ))(.*)/g

test('nothing under src talks the fence out of its refusal', () => {
  const files = readdirSync(new URL('src/', ROOT), { recursive: true, withFileTypes: true })
  const code = files.filter((file) => file.isFile() && /\.(svelte|[cm]?[jt]sx?)$/.test(file.name))
  expect(code.length).toBeGreaterThan(300)
  const talked = code.filter(({ parentPath, name }) =>
    [...readFileSync(`${parentPath}/${name}`, 'utf8').matchAll(DIRECTIVE)].some(
      ([, whatFor = '']) => whatFor.includes('fence') || !/^ [@\w]/.test(whatFor),
    ),
  )
  expect(talked).toEqual([])
})
