import { exactTimeWord, frequencyWord } from '../../words/figures.ts'
import { TITLE_LIMITS } from '../schema.ts'
import type { Evidence, CaptureFinding, InferFault } from './findings.ts'
import type { Noted } from './line.ts'

/** All that is said of findings and faults; elsewhere they are data. */

const LABELS: { readonly [W in CaptureFinding['what']]: string } = {
  rest: 'Rests at',
  'cycles-per-read': 'Cycles per read',
  'edge-spacing': 'Edge spacing',
  gaps: 'Between reads',
  'frame-rate': 'Frame rate',
  standard: 'Video standard',
  'reads-per-frame': 'Reads per frame',
  'read-offsets': 'Reads begin at',
  'read-jitter': 'Read jitter',
  'clock-tolerance': 'Clock tolerance',
  sample: 'Sample after edge',
  'six-buttons': 'Six buttons',
  samples: 'Samples',
  drive: 'Select high is',
  'other-reads': 'Other reads',
  'skipped-frames': 'Skipped frames',
  'uneven-frames': 'Uneven frames',
  strays: 'Stray reads',
  'cut-reads': 'Cut reads',
  'broken-reads': 'Broken reads',
  glitches: 'Glitches',
  unknown: 'Unknown level',
  undriven: 'Not driven',
  sampled: 'Sampled',
  'cut-off': 'Not looked at',
}

export const findingLabel = ({ what }: CaptureFinding): string => LABELS[what]

const range = ({ minNs, maxNs }: { readonly minNs: number; readonly maxNs: number }): string =>
  minNs === maxNs ? exactTimeWord(minNs) : `${exactTimeWord(minNs)} to ${exactTimeWord(maxNs)}`

const count = (n: number, thing: string): string => `${n} ${thing}${n === 1 ? '' : 's'}`

/** "3 frames without a read, the first at 2 ms". */
const noted = ({ count: n, firstNs }: Noted, thing: string, kind = ''): string =>
  `${count(n, thing)}${kind}, the first at ${exactTimeWord(firstNs)}`

/** What was found, without its label. */
export function findingWords(finding: CaptureFinding): string {
  switch (finding.what) {
    case 'rest':
    case 'drive':
      return finding.value
    case 'cycles-per-read':
    case 'reads-per-frame':
      return String(finding.value)
    case 'edge-spacing':
      return range(finding.value)
    case 'gaps': {
      const unclear = '; the shortest is hardly longer than a phase, so that two reads may be one'
      return range(finding.value) + (finding.value.clear ? '' : unclear)
    }
    case 'sample':
      return `${range(finding.value)}; edges show only that it comes before the next edge, and code needs about 1 µs after its write`
    case 'frame-rate':
      return frequencyWord(finding.value.hz) + everyFrames(finding.value.everyFrames)
    case 'standard': {
      const { standard, nearest, ppm } = finding.value
      const wholePpm = Math.abs(Math.round(ppm))
      const off = `${wholePpm} ppm ${wholePpm === 0 ? 'off' : ppm < 0 ? 'slow' : 'fast'}`
      return standard === null ? `neither; ${nearest} is nearest, ${off}` : `${standard}, ${off}`
    }
    case 'read-offsets':
      return `${finding.value.map(exactTimeWord).join(', ')}, from the first read of the frame; where the frame itself begins does not show`
    case 'read-jitter': {
      const { seenNs, takenNs } = finding.value
      const taken = `; the title says ${exactTimeWord(takenNs)}, or its reads would meet`
      return `up to ${exactTimeWord(seenNs)}${takenNs < seenNs ? taken : ''}`
    }
    case 'clock-tolerance':
      return `${finding.value} ppm; crystals are off by about 100, and this one by what was seen`
    case 'samples':
      return 'three buttons in the first cycle; edges do not show which samples are believed'
    case 'six-buttons': {
      if (finding.value === null) return 'never; the read is too short to meet them'
      const { identifiedInCycle, extraInCycle } = finding.value
      return `never, as edges do not show it; but the read has the shape: identification in cycle ${identifiedInCycle} low, extra buttons in cycle ${extraInCycle} high`
    }
    case 'other-reads':
      return finding.value
        .map(({ cycles, reads, firstNs }) =>
          noted({ count: reads, firstNs }, 'read', ` of ${count(cycles, 'cycle')}`),
        )
        .join('; ')
    case 'skipped-frames':
      return noted(finding.value, 'frame', ' without a read')
    case 'uneven-frames':
      return noted(finding.value, 'frame', ' with more reads or fewer')
    case 'strays':
      return `${count(finding.value, 'read')} out of place by more than a title file can say; left out`
    case 'cut-reads': {
      const { atStart, atEnd } = finding.value
      const where = atStart && atEnd ? 'begins and ends' : atStart ? 'begins' : 'ends'
      return `the capture ${where} in the middle of a read; what is cut is left out`
    }
    case 'broken-reads':
      return noted(finding.value, 'read') + ', with an unknown level or without a way back to rest; left out'
    case 'glitches':
      return noted(finding.value, 'pulse') + '; left out'
    case 'unknown':
      return noted(finding.value, 'time') + '; reads that it touches are left out'
    case 'undriven':
      return noted(finding.value, 'time') + '; taken for high, as the line is pulled up'
    case 'sampled':
      return `every ${exactTimeWord(Math.round(finding.value))}; edges are known no better`
    case 'cut-off':
      return `what comes after ${exactTimeWord(finding.value.atNs)}, as only so much is kept`
  }
}

const everyFrames = (frames: number): string => (frames === 1 ? '' : `, read every ${frames} frames`)

const evidenceWords = ({ seen, of, things }: Evidence): string => `${seen} of ${of} ${things}`

/** How sure a finding is, and why. */
export const findingGrounds = ({ sureness, evidence }: CaptureFinding): string =>
  evidence === undefined ? sureness : `${sureness}, ${evidenceWords(evidence)}`

/** A finding on one line. */
export const findingLine = (finding: CaptureFinding): string =>
  `${findingLabel(finding)}: ${findingWords(finding)} (${findingGrounds(finding)})`

/** Why no title came out, and what to do. One sentence or two. */
export function faultSentence(fault: InferFault): string {
  const otherSignal = 'Choose another line of the capture, or check the probe.'
  switch (fault.kind) {
    case 'empty':
      return 'The capture says nothing of this line. Capture again while a title reads the port.'
    case 'never-known':
      return 'The level of this line is unknown all the time. Check the probe and its threshold, and capture again.'
    case 'constant':
      return `This line is ${fault.level} all the time. Capture while a title reads the port, or give another line.`
    case 'clock':
      return `This looks like a clock of ${frequencyWord(fault.hz)}, not a select line: its edges are steady and it never rests. ${otherSignal}`
    case 'never-rests':
      return `This line never rests, as a select line does between reads. ${otherSignal}`
    case 'irregular':
      return `This looks like a data line, not a select line: no read comes again from frame to frame. ${otherSignal}`
    case 'too-short':
      return `${count(fault.frames, 'frame')} cannot show what comes again; three are needed, and a second or more is better. Capture for longer.`
    case 'no-title':
      return `What was found does not make a title: ${fault.place}: ${fault.complaint}.`
  }
}

const NO_NAME = 'Inferred title'

/** A text as a title's name can be: on one line, and no longer than allowed. */
export const nameFrom = (text: string): string => oneLine(text, TITLE_LIMITS.nameLength) || NO_NAME

/** Longest origin that notes tell, in UTF-16 units: the findings need the rest. */
const MAX_SOURCE = 300

/** Where a title came from, and what it stands on: as many lines as notes may have. */
export function notesFrom(source: string, lines: readonly string[]): string {
  let notes = `Inferred from the edges of ${oneLine(source, MAX_SOURCE)}.`
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
