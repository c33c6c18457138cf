import { PINS } from '../port/pins.ts'
import type { Pin, PinBits } from '../port/pins.ts'
import { writeVcd } from '../title/vcd/write.ts'
import type { WireChange } from '../title/vcd/write.ts'
import type { Explanation } from './explain.ts'

type ExampleWire = 'select' | `pin${Pin}` | 'sample' | 'misread'

/** How long a sample stands in the dump, so that a viewer shows it. */
const LOOK_NS = 20

/**
 * A misread as a value change dump, for any viewer and for comparing with a scope: select at the pad, the six pins with the example's inputs held,
 * `sample` up where the title samples, `misread` up at the sample that goes wrong. Its time begins a little before the read.
 */
export function explanationVcd({ fromNs, untilNs, select, pins, samples }: Explanation): string {
  const level = (bits: PinBits, k: number) => ((bits >> k) & 1 ? '1' : '0')
  const changes: WireChange<ExampleWire>[] = [
    ...select.edges.map((edge) => ({
      atNs: edge.atNs - fromNs,
      signal: 'select' as const,
      value: edge.level === 'high' ? ('1' as const) : ('0' as const),
    })),
    ...pins.changes.flatMap((change) =>
      PINS.map((pin, k) => ({
        atNs: change.atNs - fromNs,
        signal: `pin${pin}` as const,
        value: level(change.pins, k) as '0' | '1',
      })),
    ),
    ...samples.flatMap(({ atNs, isGuilty }) =>
      (isGuilty ? (['sample', 'misread'] as const) : (['sample'] as const)).flatMap((signal) => [
        { atNs: atNs - fromNs, signal, value: '1' as const },
        { atNs: Math.min(atNs + LOOK_NS, untilNs) - fromNs, signal, value: '0' as const },
      ]),
    ),
  ]
  const signals: ExampleWire[] = ['select', ...PINS.map((pin) => `pin${pin}` as const), 'sample', 'misread']
  const initial = Object.fromEntries([
    ['select', select.start === 'high' ? '1' : '0'],
    ...PINS.map((pin, k) => [`pin${pin}`, level(pins.start, k)]),
    ['sample', '0'],
    ['misread', '0'],
  ]) as Record<ExampleWire, '0' | '1'>
  return writeVcd({
    module: 'port',
    signals,
    initial,
    changes: changes.sort((p, q) => p.atNs - q.atNs),
    endNs: untilNs - fromNs,
  })
}
