import { describe, expect, test } from 'vitest'
import { outputsOf } from '../../src/tables/outputs.ts'
import type { Block, MarkdownTable, Table } from '../../src/tables/table.ts'

const PLACE = 'before\n\n<!-- table things -->\n<!-- end of things -->\n\nbehind\n'

/** What a table of these blocks writes: TypeScript, C, Markdown. */
function written(blocks: readonly Block[], tables: readonly MarkdownTable[] = [], text = PLACE) {
  const table: Table = {
    source: 'room/things.table.ts',
    about: 'Things.',
    typescript: 'room/things.ts',
    c: 'room/things.h',
    blocks,
    markdown: { path: 'room/THINGS.md', tables },
  }
  const [typescript, c, markdown] = outputsOf([table], () => text).map((output) => output.text)
  return { typescript, c, markdown }
}

const fields = [
  { name: 'kind', bytes: 1, means: 'which' },
  { bytes: 3, means: 'zero' },
  { name: 'lastMs', bytes: 4, type: 'u32', means: 'when' },
]

describe('a record', () => {
  test('has each field behind those before it, in all three', () => {
    const layout = {
      kind: 'layout',
      typescript: 'THING_AT',
      c: 'THING_AT_',
      bytes: 'THING_BYTES',
      fields,
    } as const
    const things = { mark: 'things', head: ['offset', 'size', 'field'], rows: layout }
    const { typescript, c, markdown } = written([layout], [things])
    expect(typescript).toContain(
      'export const THING_AT = {\n  kind: 0,\n  lastMs: 4,\n} as const\nexport const THING_BYTES = 8\n',
    )
    expect(c).toContain(
      'enum {\n    THING_AT_KIND = 0,\n    THING_AT_LAST_MS = 4,\n    THING_BYTES = 8,\n};\n',
    )
    expect(markdown).toContain(
      [
        '| offset | size | field |',
        '| ------ | ---- | ----- |',
        '| 0      | 1    | which |',
        '| 1      | 3    | zero  |',
        '| 4      | u32  | when  |',
      ].join('\n'),
    )
  })

  test('is refused where a program would need an offset or a length that is not fixed', () => {
    const open = { bytes: 'n', means: 'as many as there are' }
    const behind = { name: 'end', bytes: 1, means: 'end' }
    expect(() => written([{ kind: 'layout', c: 'X_', fields: [open, behind] }])).toThrow(RangeError)
    expect(() => written([{ kind: 'layout', c: 'X_', fields: [open, { ...behind, at: '1 + n' }] }])).toThrow(
      RangeError,
    )
    expect(() => written([{ kind: 'layout', c: 'X_', bytes: 'X_BYTES', fields: [...fields, open] }])).toThrow(
      RangeError,
    )
  })
})

test('names have the codes of their places', () => {
  const names = {
    kind: 'names',
    typescript: 'KINDS',
    c: { prefix: 'KIND_', tag: 'kind' },
    from: 3,
    names: ['no thing', 'b'],
  } as const
  const { typescript, c } = written([names])
  expect(typescript).toContain("export const KINDS = ['no thing', 'b'] as const\n")
  expect(c).toContain('enum kind {\n    KIND_NO_THING = 3,\n    KIND_B = 4,\n};\n')
})

test('numbers may be in one language only', () => {
  const of = [
    { name: 'maxBytes', value: 255, hex: 4 },
    { name: 'here', value: 1, only: 'typescript' },
    { name: 'there', value: 2, only: 'c' },
  ] as const
  const { typescript, c } = written([
    { kind: 'numbers', typescript: 'constants', c: { prefix: 'X_', as: 'macros' }, of },
  ])
  expect(typescript).toContain('export const MAX_BYTES = 0x00ff\nexport const HERE = 1\n')
  expect(typescript).not.toContain('THERE')
  expect(c).toContain('#define X_MAX_BYTES 0x00FFu\n#define X_THERE 2u\n')
  expect(c).not.toContain('X_HERE')
})

describe('a place in a Markdown file', () => {
  const things = { mark: 'things', head: ['what'], rows: [['a']] }
  const placeless = (text: string) => () => written([], [things], text)

  test('keeps what is around it, and is found again', () => {
    const once = written([], [things]).markdown as string
    expect(once.startsWith('before\n\n<!-- table things: written by')).toBe(true)
    expect(once.endsWith('<!-- end of things -->\n\nbehind\n')).toBe(true)
    expect(written([], [things], once).markdown).toBe(once)
    expect(written([], [things], once.replace('| a ', '| b ')).markdown).toBe(once)
  })

  test('is there once', () => {
    expect(placeless('nothing here')).toThrow('0 places')
    expect(placeless(PLACE + PLACE)).toThrow('2 places')
  })
})
