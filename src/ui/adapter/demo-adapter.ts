import * as v from 'valibot'
import { MemoryBankStore } from '../../adapter/bank-store.ts'
import type { BankStore } from '../../adapter/bank-store.ts'
import { BANK_NUMBERS } from '../../adapter/constants.ts'
import { ModelAdapter } from '../../adapter/model-adapter.ts'
import type { Transport } from '../../adapter/transport.ts'
import { modelTransport } from '../../adapter/transports/model.ts'
import { REFERENCE_ADAPTER } from '../../bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../profile/built-in.ts'
import { encodeImage } from '../../profile/encode-image.ts'
import { loadImage } from '../../profile/run-image.ts'

/** What the demo adapter's banks hold, as it is kept beside the shelf. */
const KeptBanksSchema = v.object({
  banks: v.pipe(
    v.array(v.nullable(v.instance<typeof Uint8Array<ArrayBufferLike>>(Uint8Array))),
    v.length(BANK_NUMBERS.length),
  ),
  active: v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(BANK_NUMBERS.length - 1)),
})
export type KeptBanks = v.InferOutput<typeof KeptBanksSchema>

/** Banks that outlast the page, as those of a real box outlast a power cut. */
class KeptBankStore implements BankStore {
  readonly #memory = new MemoryBankStore()
  readonly #keep: (banks: KeptBanks) => void

  constructor(kept: unknown, keep: (banks: KeptBanks) => void) {
    this.#keep = keep
    const before = v.safeParse(KeptBanksSchema, kept)
    if (!before.success) return
    before.output.banks.forEach((image, bank) => {
      if (image && loadImage(image).ok) this.#memory.commit(bank, image)
    })
    if (this.#memory.read(before.output.active)) this.#memory.setActive(before.output.active)
  }

  get active(): number | null {
    return this.#memory.active
  }

  read(bank: number): Uint8Array | null {
    return this.#memory.read(bank)
  }

  commit(bank: number, image: Uint8Array): boolean {
    return this.#memory.commit(bank, image) && this.#kept()
  }

  setActive(bank: number): boolean {
    return this.#memory.setActive(bank) && this.#kept()
  }

  #kept(): boolean {
    this.#keep({ banks: BANK_NUMBERS.map((_, bank) => this.read(bank)), active: this.active ?? 0 })
    return true
  }
}

/**
 * The demo adapter: a model in memory that runs the image. It states the reference adapter's figures, so that verdicts
 * do not change when it goes.
 */
export function demoTransport(kept: unknown, keep: (banks: KeptBanks) => void): Transport {
  const { replyNs, delayStretch, idleResetNs } = REFERENCE_ADAPTER
  const model = new ModelAdapter({
    factoryImage: encodeImage(BUILT_IN_PROFILES['six-button']),
    store: new KeptBankStore(kept, keep),
    identity: {
      replyMinNs: replyNs.minNs,
      replyMaxNs: replyNs.maxNs,
      delayStretch,
      idleResetToleranceMinNs: idleResetNs.minNs,
      idleResetToleranceMaxNs: idleResetNs.maxNs,
    },
  })
  return modelTransport(model)
}
