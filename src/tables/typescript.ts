import { bytesOf, inCapitals, numberIn, placed } from './table.ts'
import type { Block, Entry, List, Table } from './table.ts'

/** A table as a TypeScript module, formatted as Prettier leaves it. */

const WIDTH = 110

/** A comment; one of several lines stands between the marks. */
function doc(says: string | undefined, indent = ''): string[] {
  if (says === undefined) return []
  if (!says.includes('\n')) return [`${indent}/** ${says} */`]
  return [`${indent}/**`, ...says.split('\n').map((line) => `${indent} * ${line}`.trimEnd()), `${indent} */`]
}

/** What stands behind a number in C, as a sentence. */
const sentence = (says: string | undefined): string | undefined =>
  says && `${says.charAt(0).toUpperCase()}${says.slice(1)}.`

const hexNumber = (value: number, hex?: number): string => numberIn(value, hex).replace(/[A-F]/g, lower)
const lower = (letter: string): string => letter.toLowerCase()

const quoted = (text: string): string => `'${text.replaceAll("'", "\\'")}'`
const key = (name: string): string => (/^[A-Za-z_]\w*$/.test(name) ? name : quoted(name))

/** All on one line, or each on its own. */
function listed(head: string, members: readonly string[], tail: string): string[] {
  const line = `${head}[${members.join(', ')}]${tail}`
  if (line.length <= WIDTH && !members.some((member) => member.includes('\n'))) return [line]
  return [`${head}[`, ...members.map((member) => `  ${member},`), `]${tail}`]
}

function objectOf(name: string, entries: readonly Entry[], quoteAll: boolean): string[] {
  const named = (entry: Entry): string => (quoteAll ? quoted(entry.name) : key(entry.name))
  return [
    `export const ${name} = {`,
    ...entries.flatMap((entry) => [
      ...doc(sentence(entry.says), '  '),
      `  ${named(entry)}: ${hexNumber(entry.value, entry.hex)},`,
    ]),
    '} as const',
  ]
}

function memberOf(member: List['of'][number], hex: number | undefined): string {
  if (typeof member === 'number') return hexNumber(member, hex)
  const lines = Object.entries(member).flatMap(([name, value]) => {
    const written = typeof value === 'string' ? quoted(value) : value.hex.toLowerCase()
    const line = `    ${key(name)}: ${written},`
    return line.length <= WIDTH ? [line] : [`    ${key(name)}:`, `      ${written},`]
  })
  return ['{', ...lines, '  }'].join('\n')
}

function linesOf(block: Block): string[] {
  switch (block.kind) {
    case 'numbers': {
      const entries = block.of.filter(({ only }) => only !== 'c')
      if (block.typescript === undefined) return []
      if (block.typescript === 'constants')
        return entries.flatMap(({ name, value, hex, says }) => [
          ...doc(sentence(says)),
          `export const ${inCapitals(name)} = ${hexNumber(value, hex)}`,
        ])
      return [...doc(block.says), ...objectOf(block.typescript.object, entries, false)]
    }
    case 'layout': {
      if (block.typescript === undefined) return []
      const entries = placed(block).flatMap(({ name, offset }) =>
        name === undefined || offset === null ? [] : [{ name, value: offset }],
      )
      return [
        ...doc(block.says),
        ...objectOf(block.typescript, entries, false),
        ...(block.bytes === undefined ? [] : [`export const ${block.bytes} = ${bytesOf(block)}`]),
      ]
    }
    case 'names':
      if (block.typescript === undefined) return []
      return [
        ...doc(block.says),
        ...listed(`export const ${block.typescript} = `, block.names.map(quoted), ' as const'),
      ]
    case 'list':
      return [
        ...doc(block.says),
        ...listed(
          `export const ${block.typescript} = `,
          block.of.map((member) => memberOf(member, block.hex)),
          ' as const',
        ),
        ...(block.type === undefined
          ? []
          : [...doc(block.typeSays), `export type ${block.type} = (typeof ${block.typescript})[number]`]),
      ]
    case 'text':
      return [...doc(block.says), `export const ${block.name} = new TextEncoder().encode('${block.text}\\0')`]
  }
}

export function typescriptOf({ source, about, blocks }: Table): string {
  const parts = blocks.map((block) => linesOf(block).join('\n')).filter((part) => part !== '')
  return [
    `// Written by \`npm run tables\` from ${source}; change it there.`,
    '',
    `/** ${about} */`,
    '',
    parts.join('\n\n'),
    '',
  ].join('\n')
}
