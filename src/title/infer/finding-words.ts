import { cellWord } from '../../port/input-texts.ts'
import { exactTimeWord, frequencyWord } from '../../words/figures.ts'
import { rowWords } from '../../words/lists.ts'
import { clauseWords } from '../../words/sentence-texts.ts'
import { figure } from '../../words/texts.ts'
import { isOfPad } from '../replies/pad-findings.ts'
import { padLabelTexts } from '../replies/pad-texts.ts'
import { padWords } from '../replies/pad-words.ts'
import { TITLE_LIMITS } from '../title-limits.ts'
import type { CaptureFinding, InferFault } from './findings.ts'
import { faultTexts, labelTexts, t } from './infer-texts.ts'
import { canHideEdges } from '../sampling-step.ts'
import { PROGRAM_NS } from './short-pulses.ts'
import type { Noted } from '../select-line.ts'

/** All that is said of findings and faults; elsewhere they are data. */

export function findingLabel({ what, mode: n }: CaptureFinding): string {
  if (isOfPad(what)) return padLabelTexts[what]
  if (n === undefined) return labelTexts[what]
  return what === 'mode' ? t.mode({ n }) : t.labelInMode({ label: labelTexts[what], n })
}

const range = ({ minNs, maxNs }: { readonly minNs: number; readonly maxNs: number }): string =>
  minNs === maxNs ? exactTimeWord(minNs) : t.range({ min: exactTimeWord(minNs), max: exactTimeWord(maxNs) })

/** How many times, and when first, as messages take it. */
const noted = ({ count: n, firstNs }: Noted) => ({ n, first: exactTimeWord(firstNs) })

/** What was found, without its label. */
export function findingWords(finding: CaptureFinding): string {
  switch (finding.what) {
    case 'rest':
      return finding.value === 'low' ? t.restsLow : cellWord(finding.value)
    case 'untied':
      return t.untied({ range: range(finding.value) })
    case 'drive':
      return t.driven
    case 'cycles-per-read':
    case 'reads-per-frame':
      return figure(finding.value)
    case 'edge-spacing':
      return range(finding.value)
    case 'read-kinds':
      return clauseWords(
        finding.value.map(({ shape, reads }) =>
          t.readKind({
            n: reads.length,
            reads: rowWords(reads.map((read) => String(read + 1))),
            cycles: shape.cyclesPerRead,
            spacing: range(shape.edgeSpacingNs),
          }),
        ),
      )
    case 'gaps':
      return finding.value.clear ? range(finding.value) : t.unclearGaps({ range: range(finding.value) })
    case 'sample':
      return t.sample({ range: range(finding.value) })
    case 'frame-rate':
      return t.frameRate({ rate: frequencyWord(finding.value.hz), every: finding.value.everyFrames })
    case 'standard': {
      const { standard, nearest, ppm: exactPpm } = finding.value
      const ppm = Math.abs(Math.round(exactPpm))
      const off = ppm === 0 ? 'none' : exactPpm < 0 ? 'slow' : 'fast'
      return standard === null
        ? t.nearest({ standard: nearest, ppm, off })
        : t.standard({ standard, ppm, off })
    }
    case 'read-offsets':
      return t.readOffsets({ offsets: rowWords(finding.value.map(exactTimeWord)) })
    case 'read-jitter': {
      const { seenNs, takenNs } = finding.value
      const seen = exactTimeWord(seenNs)
      return takenNs < seenNs ? t.jitterCut({ seen, taken: exactTimeWord(takenNs) }) : t.jitter({ seen })
    }
    case 'clock-tolerance':
      return t.clockTolerance({ ppm: finding.value })
    case 'samples':
      return t.samples
    case 'six-buttons': {
      if (finding.value === null) return t.noSix
      const { identifiedInCycle, extraInCycle } = finding.value
      return t.six({ identified: identifiedInCycle, extra: extraInCycle })
    }
    case 'mode': {
      const { things, ...seen } = finding.value
      return t.seenMode({ things, ...noted(seen) })
    }
    case 'other-reads':
      return clauseWords(
        finding.value.map(({ cycles, reads, firstNs }) =>
          t.otherReads({ cycles, ...noted({ count: reads, firstNs }) }),
        ),
      )
    case 'left-over':
      return t.leftOver(noted(finding.value))
    case 'skipped-frames':
      return t.skippedFrames(noted(finding.value))
    case 'uneven-frames':
      return t.unevenFrames(noted(finding.value))
    case 'strays':
      return t.strays({ n: finding.value })
    case 'cut-reads': {
      const { atStart, atEnd } = finding.value
      return t.cutReads({ where: atStart && atEnd ? 'both' : atStart ? 'start' : 'end' })
    }
    case 'broken-reads':
      return t.brokenReads(noted(finding.value))
    case 'glitches':
      return t.glitches({ ...noted(finding.value), least: exactTimeWord(PROGRAM_NS) })
    case 'unknown':
      return t.unknown(noted(finding.value))
    case 'undriven':
      return t.undriven(noted(finding.value))
    case 'sampled':
      return t.sampled({
        hides: canHideEdges(finding.value) ? 'edges' : 'none',
        time: exactTimeWord(Math.round(finding.value)),
      })
    case 'cut-off':
      return t.cutOff({ time: exactTimeWord(finding.value.atNs) })
    default:
      return padWords(finding)
  }
}

/** How sure a finding is, and why. */
export const findingGrounds = ({ sureness, evidence }: CaptureFinding): string =>
  evidence === undefined ? t[sureness] : t.grounds({ sureness: t[sureness], ...evidence })

/** A finding on one line. */
export const findingLine = (finding: CaptureFinding): string =>
  t.line({
    label: findingLabel(finding),
    words: findingWords(finding),
    grounds: findingGrounds(finding),
  })

/** Why no title came out, and what to do. One sentence or two. */
export function faultSentence(fault: InferFault): string {
  switch (fault.kind) {
    case 'empty':
      return faultTexts.empty
    case 'never-known':
      return faultTexts.neverKnown
    case 'constant':
      return faultTexts.constant({ level: fault.level })
    case 'clock':
      return faultTexts.clock({ rate: frequencyWord(fault.hz) })
    case 'never-rests':
      return faultTexts.neverRests
    case 'irregular':
      return faultTexts.irregular
    case 'too-short':
      return faultTexts.tooShort({ frames: fault.frames })
    case 'no-title':
      return faultTexts.noTitle({ place: fault.place, complaint: fault.complaint })
  }
}

/** A text as a title's name can be: on one line, and no longer than allowed. */
export const nameFrom = (text: string): string => oneLine(text, TITLE_LIMITS.nameLength) || t.noName

/** Longest origin that notes tell, in UTF-16 units: the findings need the rest. */
const MAX_SOURCE = 300

/** Where a title came from, and what it stands on: as many lines as notes may have. */
export function notesFrom(source: string, lines: readonly string[]): string {
  let notes = t.inferredFrom({ source: oneLine(source, MAX_SOURCE) })
  for (const line of lines) {
    if (notes.length + 1 + line.length > TITLE_LIMITS.notesLength) break
    notes += `\n${line}`
  }
  return notes
}

/** A text on one line, without half characters, cut to so many UTF-16 units. */
function oneLine(text: string, length: number): string {
  let line = ''
  for (const character of text.replace(/[\p{Control}\p{Surrogate}]+/gu, ' ').trim()) {
    if (line.length + character.length > length) break
    line += character
  }
  return line.trim()
}
