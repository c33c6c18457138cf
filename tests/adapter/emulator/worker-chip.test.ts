import { expect, test } from 'vitest'
import { WorkerChip, deliveredBanks } from '../../../src/adapter/emulator/worker-chip.ts'
import type { FromChip } from '../../../src/adapter/emulator/worker-messages.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'

const banks = deliveredBanks(encodeImage(BUILT_IN_PROFILES['three-button']))

/** Stands for the browser's Worker: what it is told is not looked at, what it says is said here. */
class Mouth extends EventTarget {
  postMessage(): void {}
  say(data: FromChip): void {
    this.dispatchEvent(new MessageEvent('message', { data }))
  }
}

test('what the adapter says waits until what it wrote is kept, and comes in order', async () => {
  const worker = new Mouth()
  const heard: string[] = []
  let kept: () => void = () => undefined
  const chip = new WorkerChip({
    worker: worker as unknown as Worker,
    firmware: new Uint8Array(),
    banks,
    keep: () =>
      new Promise<void>((resolve) => {
        kept = () => {
          heard.push('kept')
          resolve()
        }
      }),
  })
  const opening = chip.open()
  worker.say({ kind: 'opened' })
  const opened = await opening
  if (!opened.ok) throw new Error(opened.error.kind)
  opened.value.listen({ bytes: (bytes) => heard.push(`bytes ${bytes[0]}`), lost: () => heard.push('lost') })

  worker.say({ kind: 'bytes', bytes: Uint8Array.of(1) })
  worker.say({ kind: 'banks', bytes: banks })
  worker.say({ kind: 'bytes', bytes: Uint8Array.of(2) })
  worker.say({ kind: 'bytes', bytes: Uint8Array.of(3) })
  await new Promise((resolve) => setTimeout(resolve, 5))
  expect(heard).toEqual(['bytes 1'])
  kept()
  await new Promise((resolve) => setTimeout(resolve, 5))
  expect(heard).toEqual(['bytes 1', 'kept', 'bytes 2', 'bytes 3'])
})

test('a keep that fails holds nothing back for ever', async () => {
  const worker = new Mouth()
  const heard: number[] = []
  const chip = new WorkerChip({
    worker: worker as unknown as Worker,
    firmware: new Uint8Array(),
    banks,
    keep: () => Promise.reject(new Error('no room')),
  })
  const opening = chip.open()
  worker.say({ kind: 'opened' })
  const opened = await opening
  if (!opened.ok) throw new Error(opened.error.kind)
  opened.value.listen({ bytes: (bytes) => heard.push(bytes[0] ?? -1), lost: () => undefined })
  worker.say({ kind: 'banks', bytes: banks })
  worker.say({ kind: 'bytes', bytes: Uint8Array.of(7) })
  await new Promise((resolve) => setTimeout(resolve, 5))
  expect(heard).toEqual([7])
})
