import { texts } from '../../words/texts.ts'

/** The parts of a latency, and its figures. */
export const latencyTexts = texts('latency', {
  scan: 'the pad scans its buttons',
  report: 'the pad’s next report',
  adapter: 'the adapter, from report to pins',
  sample: 'the title’s next sample of {input}',
  frame: 'that sample and the next frame',
  toSample: 'total, to the sample',
  toFrame: 'total, to the frame after that sample',
  min: 'min',
  median: 'median',
  p95: 'p95',
  max: 'max',
})

/** What the figures rest on, and why there are none. */
export const assumptionTexts = texts('latency-assumptions', {
  clocks: 'The finger, the pad and the console run on independent clocks: every moment is equally likely.',
  scans:
    'How often the pad scans its buttons is unknown: assumed is once a report, at the pad’s report interval.',
  shows:
    'The title shows a press in the frame after the sample; one that takes longer adds whole frames. The screen’s own latency comes on top.',
  standard: 'The console’s clock runs at the rate of its standard.',
  mode: {
    named: { true: 'The title stays in its last mode, {mode}.', false: 'The title stays in its last mode.' },
  },
  repeat: 'Auto-repeat is left out: a press just before an idle reset can lose a read to it.',
  notTied: '{title} reads at intervals that no frame ties, which is not worked out here',
  seesNone: '{title} sees no press with this profile; check the two against each other first',
  neverSees: '{title} never sees {input} pressed with this profile; choose an input that it reads',
})
