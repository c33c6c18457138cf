import { zipSync } from 'fflate'
import type { CaptureProgress } from '../../../src/title/capture/read-capture.ts'
import type { ShortTitle } from '../../../src/title/short-title.ts'
import { writeVcd } from '../../../src/title/vcd/write.ts'
import { readFile } from '../../../src/ui/capture/read-file.ts'
import type { CaptureJudging, FileAnswer } from '../../../src/ui/capture/read-file.ts'
import { REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { shortTitle } from '../../bench/short-titles.ts'
import { simulate } from '../../title/infer/simulate.ts'
import type { Circumstances, Pattern } from '../../title/infer/simulate.ts'

export const PATTERN: Pattern = {
  standard: '525-line',
  offsetsNs: [100_000],
  cycles: 3,
  spacingNs: { minNs: 2_000, maxNs: 2_400 },
  rest: 'high',
  jitterNs: 5_000,
}

type Wires = readonly [string, ...string[]]

/** A dump in which the first wire is select and the others stay low. */
export function dump(circumstances: Circumstances, pattern = PATTERN, wires: Wires = ['select']): string {
  const { timesNs, values, endNs } = simulate(pattern, circumstances)
  const [select] = wires
  return writeVcd({
    module: 'port',
    signals: wires,
    initial: Object.fromEntries(wires.map((wire) => [wire, wire === select ? '1' : '0'] as const)),
    changes: Array.from(timesNs, (atNs, k) => ({ atNs, signal: select, value: values[k] === 1 ? '1' : '0' })),
    endNs,
  })
}

const SAMPLERATE_MHZ = 10

/** A session of 10 MHz with these probes on the bits of one byte; select is on bit `bit`, all others stay low. */
export function session(circumstances: Circumstances, probes: readonly string[], bit: number): Uint8Array {
  const { timesNs, values, endNs } = simulate(PATTERN, circumstances)
  const samples = new Uint8Array(Math.floor((endNs * SAMPLERATE_MHZ) / 1_000))
  timesNs.forEach((atNs, k) =>
    samples.fill((values[k] ?? 0) << bit, Math.ceil((atNs * SAMPLERATE_MHZ) / 1_000)),
  )
  const text = (words: string) => new TextEncoder().encode(words)
  const metadata = [
    '[global]',
    'version=0.5.2',
    '[device 1]',
    'capturefile=logic-1',
    `total probes=${probes.length}`,
    `samplerate=${SAMPLERATE_MHZ} MHz`,
    ...probes.map((probe, k) => `probe${k + 1}=${probe}`),
    'unitsize=1',
  ].join('\n')
  return zipSync({ version: text('2'), metadata: text(metadata), 'logic-1-1': samples })
}

export const fileOf = (content: BlobPart, name = 'evening.vcd'): File => new File([content], name)

export type CaptureMessage = CaptureProgress | FileAnswer

export const JUDGING: CaptureJudging = {
  profile: BUILT_IN_PROFILES['six-button'],
  adapter: REFERENCE_ADAPTER,
}

/** All that is told of a capture: progress, and at last the answer. */
export async function told(
  file: File,
  lineId: string | null = null,
  judging = JUDGING,
): Promise<CaptureMessage[]> {
  const messages: CaptureMessage[] = []
  const reading = readFile({
    file,
    choice: lineId === null ? { by: 'itself' } : { by: 'id', id: lineId },
    judging,
  })
  for (;;) {
    const { done, value } = await reading.next()
    messages.push(value)
    if (done) return messages
  }
}

/** The message of a kind; a test fails where there is not exactly one. */
export function only<K extends CaptureMessage['kind']>(messages: readonly CaptureMessage[], kind: K) {
  const those = messages.filter(
    (message): message is Extract<CaptureMessage, { kind: K }> => message.kind === kind,
  )
  const [one] = those
  if (one === undefined || those.length > 1) throw new Error(`${those.length} messages of the kind ${kind}`)
  return one
}

/** The title that was found, the short way: a captured line shows no more than that can say. */
export function shortFound(messages: readonly CaptureMessage[]): ShortTitle {
  const { title } = only(messages, 'found').found
  if (title === null) throw new Error('no title was found')
  return shortTitle(title)
}
