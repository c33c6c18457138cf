import { bytesOf, inCapitals, numberIn, placed } from './table.ts'
import type { Block, Entry, Table } from './table.ts'

/** A table as a C header. */

/** A comment; one of several lines stands between the marks. */
function comment(says: string | undefined): string[] {
  if (says === undefined) return []
  if (!says.includes('\n')) return [`/* ${says} */`]
  return ['/*', ...says.split('\n').map((line) => ` * ${line}`.trimEnd()), ' */']
}
const behind = (says: string | undefined): string => (says === undefined ? '' : ` /* ${says} */`)

const enumOf = (entries: readonly Entry[], prefix: string, tag?: string): string[] => [
  tag === undefined ? 'enum {' : `enum ${tag} {`,
  ...entries.map(
    ({ name, value, hex, says }) =>
      `    ${prefix}${inCapitals(name)} = ${numberIn(value, hex)},${behind(says)}`,
  ),
  '};',
]

function linesOf(block: Block): string[] {
  switch (block.kind) {
    case 'numbers': {
      if (block.c === undefined) return []
      const { prefix, as } = block.c
      const entries = block.of.filter(({ only }) => only !== 'typescript')
      return [
        ...comment(block.says),
        ...(as === 'enum'
          ? enumOf(entries, prefix)
          : entries.map(
              ({ name, value, hex, says }) =>
                `#define ${prefix}${inCapitals(name)} ${numberIn(value, hex)}u${behind(says)}`,
            )),
      ]
    }
    case 'layout': {
      if (block.c === undefined) return []
      const entries = placed(block).flatMap(({ name, offset }) =>
        name === undefined || offset === null ? [] : [{ name, value: offset }],
      )
      const lines = enumOf(entries, block.c)
      if (block.bytes !== undefined) lines.splice(-1, 0, `    ${block.bytes} = ${bytesOf(block)},`)
      return [...comment(block.says), ...lines]
    }
    case 'names': {
      if (block.c === undefined) return []
      const entries = block.names.map((name, k) => ({ name, value: block.from + k }))
      return [...comment(block.says), ...enumOf(entries, block.c.prefix, block.c.tag)]
    }
    case 'list':
      return []
    case 'text':
      return [...comment(block.says), `#define ${block.name} "${block.text}" /* and a zero */`]
  }
}

export function headerOf({ source, about, blocks }: Table, path: string): string {
  const guard = `NINEPIN_${inCapitals(path.slice(path.lastIndexOf('/') + 1))}`
  const parts = blocks.map((block) => linesOf(block).join('\n')).filter((part) => part !== '')
  return [
    `#ifndef ${guard}`,
    `#define ${guard}`,
    '',
    `/* Written by \`npm run tables\` from ${source}; change it there. */`,
    '',
    `/* ${about} */`,
    '',
    parts.join('\n\n'),
    '',
    '#endif',
    '',
  ].join('\n')
}
