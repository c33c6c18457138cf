import { texts } from '../../words/texts.ts'

export const t = texts('delay', {
  interval: 'Pad report interval',
  input: 'Input',
  first: 'the first one seen',
  ms: '{ms} ms',
  refused: '{fault}.',
  figures: 'Latency in figures',
  caption: '{input}, from the finger to {title}; the pad reports every {ms} ms',
  part: 'part',
  more: 'Distribution and assumptions',
  median: 'median {time}',
  p95: 'p95 {time}',
  distribution:
    'Distribution of the latency: from {min} to {max}, most often about {mode}; half of all presses within {median}, 95 of 100 within {p95}.',
})
