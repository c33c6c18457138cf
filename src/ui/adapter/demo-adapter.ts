import * as v from 'valibot'
import chipWorker from '../../adapter/emulator/chip.worker.ts?worker&url'
import { BANK_AREA_BYTES, WorkerChip, deliveredBanks } from '../../adapter/emulator/worker-chip.ts'
import { BUILT_IN_PROFILES } from '../../profile/built-in.ts'
import { encodeImage } from '../../profile/encode-image.ts'
import { startWorker } from '../worker/start-worker.ts'

/** What the demo adapter's flash holds of banks, as it is stored beside the shelf. */
const StoredBanksSchema = v.pipe(
  v.instance<typeof Uint8Array<ArrayBufferLike>>(Uint8Array),
  v.check((bytes) => bytes.length === BANK_AREA_BYTES),
)

/**
 * The demo adapter: the firmware that a real box runs, on an emulated chip in a worker. Its banks outlast the page, as
 * those of a real box outlast a power cut.
 *
 * @throws when the firmware cannot be loaded
 */
export async function startDemoAdapter(
  stored: unknown,
  keep: (banks: Uint8Array) => Promise<unknown>,
): Promise<WorkerChip> {
  const answer = await fetch('firmware/ninepin.bin')
  if (!answer.ok) throw new Error(`firmware/ninepin.bin: ${answer.status}`)
  const before = v.safeParse(StoredBanksSchema, stored)
  return new WorkerChip({
    worker: startWorker(chipWorker),
    firmware: new Uint8Array(await answer.arrayBuffer()),
    banks: before.success ? before.output : deliveredBanks(encodeImage(BUILT_IN_PROFILES['six-button'])),
    keep,
  })
}
