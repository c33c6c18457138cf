import { readLine } from '../../../src/title/capture/read-capture.ts'
import { measurePad } from '../../../src/title/replies/measure-pad.ts'

/** What is measured of the pad in a capture. */
export async function measured(bytes: Uint8Array | string) {
  const whole = typeof bytes === 'string' ? new TextEncoder().encode(bytes) : bytes
  const reading = readLine({ bytes: whole.length, chunks: [whole] }, { by: 'itself' }, new Map())
  for (;;) {
    const step = await reading.next()
    if (!step.done) continue
    if (step.value.kind !== 'line') throw new Error(JSON.stringify(step.value))
    const { select, data } = step.value
    const pad = measurePad(select, data)
    if (pad === null) throw new Error('no data line')
    return pad
  }
}
