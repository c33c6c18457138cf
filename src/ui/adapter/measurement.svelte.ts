import type { WorkerChip } from '../../adapter/emulator/worker-chip.ts'
import type { CabledAdapter } from '../../bench/judgement.ts'
import type { Comparison, MeasuredPins, ReadStimulus } from '../../bench/measured.ts'
import type { InputMask } from '../../port/pins.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import type { BenchCore } from '../judging/late-bench.svelte.ts'

/** A read of a title as it was measured on the demo adapter's pins. */
export interface Taken {
  readonly titleName: string
  readonly profileName: string
  readonly stimulus: ReadStimulus
  readonly pins: MeasuredPins
  readonly comparison: Comparison
}

/** What is to be measured: the profile in the active bank, what is held there, and who reads. */
export interface Subject {
  readonly profile: Profile
  readonly held: InputMask
  readonly title: Title
  readonly stated: CabledAdapter
}

/** The logic analyser on the pins of the emulated chip. */
export class Measurement {
  taken = $state.raw<Taken | null>(null)
  busy = $state.raw(false)

  async take(bench: BenchCore, chip: WorkerChip, { profile, held, title, stated }: Subject): Promise<void> {
    if (this.busy) return
    this.busy = true
    const stimulus = bench.readStimulus(profile, title, stated)
    const pins = await chip.measure(stimulus)
    this.busy = false
    this.taken = {
      titleName: title.name,
      profileName: profile.name,
      stimulus,
      pins,
      comparison: bench.compareMeasured(profile, held, stimulus, pins, stated),
    }
  }
}
