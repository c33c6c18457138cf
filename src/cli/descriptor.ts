import { InvalidArgumentError } from 'commander'
import { t as documentTexts } from '../document/document-texts.ts'
import { foreign } from '../words/foreign.ts'
import { rowWords } from '../words/lists.ts'
import { clauseWords } from '../words/sentence-texts.ts'
import { figure } from '../words/texts.ts'
import { crc32 } from '../document/crc32.ts'
import type { PadNumbers } from '../pad/layout/by-numbers.ts'
import { writeLayout } from '../pad/layout/file.ts'
import { LAYOUT_KIND } from '../pad/layout/schema.ts'
import type { Layout } from '../pad/layout/schema.ts'
import { guessLayout } from '../pad/descriptor/guess-layout.ts'
import type { GuessedLayout } from '../pad/descriptor/guess-layout.ts'
import { parseReportDescriptor } from '../pad/descriptor/parse.ts'
import { DESCRIPTOR_FILE_BYTES, readDescriptorFile } from '../pad/descriptor/read-file.ts'
import type { ReportDescriptor, ReportItem } from '../pad/descriptor/shape.ts'
import { usageName, usagesInWords } from '../pad/descriptor/usage-names.ts'
import { readJson } from '../document/document.ts'
import { BadInput, EXIT } from './fail.ts'
import { readBytes } from './files.ts'
import { writeWhole } from './write.ts'
import { t as faultTexts } from './fault-texts.ts'
import { say, sayJson } from './output.ts'
import { descriptorTexts as t } from './output-texts.ts'
import { prefixedHexWord } from '../words/hexadecimal.ts'

export interface DescriptorOptions {
  readonly layout?: string
  readonly pad?: PadNumbers
  readonly json?: true
}

/** `VVVV:PPPP`, as lists of USB devices have them. */
export function padNumbers(text: string): PadNumbers {
  const match = /^([\da-f]{4}):([\da-f]{4})$/i.exec(text)
  if (match === null) {
    throw new InvalidArgumentError(faultTexts.padNumbers)
  }
  return { vendorId: parseInt(match[1] ?? '', 16), productId: parseInt(match[2] ?? '', 16) }
}

interface Read {
  readonly path: string
  readonly bytes: Uint8Array
  readonly descriptor: ReportDescriptor
}

/** Says what report descriptors describe, and writes the layout that one of them suggests. Everything is read before anything is said. */
export function descriptor(paths: readonly string[], { layout: out, pad, json }: DescriptorOptions): number {
  const all = paths.map(readOne)
  const [only] = all
  const guessed =
    out === undefined || pad === undefined || only === undefined
      ? null
      : guessLayout(only.descriptor, { via: 'hid', ...pad, descriptorCrc32: crc32(only.bytes) })
  if (out !== undefined && only !== undefined && guessed !== null) {
    writeWhole(out, layoutText(only.path, guessed), [only.path])
  }
  if (json) {
    const told = all.map(({ path, bytes, descriptor }) => ({
      file: path,
      bytes: bytes.length,
      crc32: crc32(bytes),
      ...descriptor,
    }))
    const layout = guessed === null ? {} : { layout: { out, ...guessed } }
    sayJson({ descriptors: told, ...layout })
    return EXIT.fine
  }
  say(all.map(inWords).join('\n\n'))
  if (guessed !== null) say(`\n${layoutInWords(out ?? '', guessed)}`)
  return EXIT.fine
}

function readOne(path: string): Read {
  const file = readDescriptorFile(readBytes(path, DESCRIPTOR_FILE_BYTES))
  if (!file.ok) throw new BadInput(path, file.error.place, file.error.message)
  const parsed = parseReportDescriptor(file.value)
  if (!parsed.ok)
    throw new BadInput(path, documentTexts.atByte({ byte: parsed.error.byte }), parsed.error.message)
  return { path, bytes: file.value, descriptor: parsed.value }
}

function layoutText(path: string, { layout, notes }: GuessedLayout): string {
  if (layout === null) throw new BadInput(path, '', clauseWords(notes))
  const checked = readJson(LAYOUT_KIND, layout)
  if (!checked.ok)
    throw new Error(`a guessed layout is unsound: ${checked.error.place} ${checked.error.message}`)
  return writeLayout(checked.value)
}

function inWords({ path, bytes, descriptor: { numbered, reports, collections, remarks } }: Read): string {
  const uses = rowWords(collections.map(({ page, id }) => usageName(page, id)))
  const lines = [
    t.head({
      file: foreign(path),
      uses: uses || t.noCollection,
      bytes: bytes.length,
      crc: prefixedHexWord(crc32(bytes), 8),
    }),
  ]
  for (const { kind, report, bits, items } of reports) {
    lines.push(`  ${numbered ? t.numberedReport({ kind, number: report, bits }) : t.report({ kind, bits })}`)
    lines.push(...columns(items.map((item, k) => [String(k + 1), ...rowOf(item)])))
  }
  lines.push(
    ...remarks.map(
      ({ byte, message: what }) => `  ${byte === null ? t.odd({ what }) : t.oddAt({ byte, what })}`,
    ),
  )
  return lines.join('\n')
}

const rowOf = (item: ReportItem): string[] => [
  t.bit({ bit: item.field.bit }),
  item.count === 1 ? figure(item.field.bits) : t.times({ count: item.count, bits: item.field.bits }),
  t.range({ min: item.logicalMin, max: item.logicalMax }),
  kindWords(item),
  usagesInWords(item.usages) || t.noUsage,
]

function kindWords({ array, constant, relative, nullState }: ReportItem): string {
  const kind = constant ? 'constant' : array ? 'array' : relative ? 'relative' : 'value'
  return nullState ? t.kindOrNull({ kind }) : t.kind({ kind })
}

/** Rows with their cells one below the other. */
function columns(rows: readonly (readonly string[])[]): string[] {
  const widths = (rows[0] ?? []).map((_, k) => Math.max(...rows.map((row) => (row[k] ?? '').length)))
  return rows.map((row) => `    ${row.map((cell, k) => cell.padEnd(widths[k] ?? 0)).join('  ')}`.trimEnd())
}

function layoutInWords(out: string, { layout, guessed, notes }: GuessedLayout): string {
  const extractors = layout?.extractors ?? []
  const rows = guessed.flatMap(({ extractor, usage, sure }) => {
    const found = extractors[extractor]
    return found === undefined
      ? []
      : [[controlWords(found), usageName(usage.page, usage.id), sure ? '' : t.guessed]]
  })
  return [
    t.layout({ file: out, name: layout?.name ?? '' }),
    ...columns(rows),
    ...notes.map((note) => `  ${t.note({ note })}`),
  ].join('\n')
}

function controlWords(extractor: Layout['extractors'][number]): string {
  switch (extractor.kind) {
    case 'hat':
      return extractor.cross
    case 'axis':
      return `stick-${extractor.stick} ${extractor.axis}`
    default:
      return extractor.control
  }
}
