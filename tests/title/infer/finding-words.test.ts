import { describe, expect, it } from 'vitest'
import type { CaptureFinding, InferFault } from '../../../src/title/infer/findings.ts'
import { faultSentence, findingLine } from '../../../src/title/infer/finding-words.ts'

describe('findings in words', () => {
  it.each<[CaptureFinding, string]>([
    [
      { what: 'glitches', value: { count: 1, firstNs: 950 }, sureness: 'guess' },
      'Short pulses: 1 pulse shorter than 521 ns, at 950 ns: no program makes it, but a pad can count it; it is left over and judged as an edge (guess)',
    ],
    [
      { what: 'undriven', value: { count: 3, firstNs: 1_500_000_000 }, sureness: 'sure' },
      'Not driven: 3 times, the first at 1.5 s; taken as high, because the line is pulled up (sure)',
    ],
    [
      { what: 'unknown', value: { count: 2, firstNs: 2_500 }, sureness: 'sure' },
      'Unknown level: 2 times, the first at 2.5 µs; the reads affected are left out (sure)',
    ],
    [
      {
        what: 'skipped-frames',
        value: { count: 2, firstNs: 20_000_000 },
        sureness: 'sure',
        evidence: { seen: 118, of: 120, things: 'frames' },
      },
      'Skipped frames: 2 frames without a read, the first at 20 ms (sure, 118 of 120 frames)',
    ],
    [
      {
        what: 'other-reads',
        value: [
          { cycles: 4, reads: 6, firstNs: 1_000_000 },
          { cycles: 1, reads: 1, firstNs: 3_000 },
        ],
        sureness: 'sure',
      },
      'Other reads: 6 reads of 4 cycles, the first at 1 ms; 1 read of 1 cycle, the first at 3 µs (sure)',
    ],
    [
      { what: 'six-buttons', value: { identifiedInCycle: 3, extraInCycle: 4 }, sureness: 'guess' },
      'Six buttons: never, because edges do not show it; but the read has the shape: identification in cycle 3 low, extra buttons in cycle 4 high (guess)',
    ],
    [
      { what: 'cut-reads', value: { atStart: false, atEnd: true }, sureness: 'sure' },
      'Cut reads: the capture ends in the middle of a read; what is cut is left out (sure)',
    ],
    [
      { what: 'standard', value: { standard: null, nearest: '625-line', ppm: -12_345.6 }, sureness: 'guess' },
      'Video standard: neither; 625-line is nearest, 12346 ppm slow (guess)',
    ],
    [
      { what: 'frame-rate', value: { hz: 29.9614, everyFrames: 2 }, sureness: 'likely' },
      'Frame rate: 29.9614 Hz, read every 2 frames (likely)',
    ],
    [
      { what: 'read-jitter', value: { seenNs: 700_000, takenNs: 280_000 }, sureness: 'guess' },
      'Read jitter: up to 700 µs; the title has 280 µs, because its reads would overlap otherwise (guess)',
    ],
    [
      { what: 'cut-off', value: { atNs: 2_187_000_000_000 }, sureness: 'sure' },
      'Not read: what comes after 2187 s, because no more is kept (sure)',
    ],
  ])('%#', (finding, words) => expect(findingLine(finding)).toBe(words))

  it.each<[InferFault, RegExp]>([
    [
      { kind: 'clock', hz: 15_734.264, findings: [] },
      /^This looks like a clock of 15\.7343 kHz, not a select line: /,
    ],
    [{ kind: 'too-short', frames: 0, findings: [] }, /^0 frames cannot show/],
    [
      { kind: 'no-title', place: 'cyclesPerRead', complaint: 'too many', findings: [] },
      /^What was found does not make a title: cyclesPerRead: too many\.$/,
    ],
  ])('a fault: %#', (fault, sentence) => expect(faultSentence(fault)).toMatch(sentence))
})
