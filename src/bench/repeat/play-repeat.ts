import { cellLevel, phaseAt } from '../../port/chart.ts'
import { PINS, inputBit } from '../../port/pins.ts'
import type { Input, InputMask } from '../../port/pins.ts'
import { ProfileRunner } from '../../profile/run-profile.ts'
import type { Profile } from '../../profile/schema.ts'
import { IDENTIFIES, scheduleOf } from '../../title/schedule.ts'
import type { Schedule } from '../../title/schedule.ts'
import type { Title } from '../../title/schema.ts'
import { Told, believes } from '../belief.ts'
import { usualCourse } from '../play/course.ts'
import { Player } from '../play/player.ts'
import type { Course, PlayedRead } from '../play/player.ts'
import { playRounds } from '../play/rounds.ts'
import type { Rounds } from '../play/rounds.ts'
import type { Timing } from '../play/timing.ts'
import { shapeOf } from '../reach/shape.ts'

/** One sample of a title at one input, as the title takes it. */
export interface InputSample {
  /** Since the frame began, in ns. */
  readonly atNs: number
  /** Read within the frame, from 0. */
  readonly read: number
  /** Index into the title's samples. */
  readonly index: number
  readonly pressed: boolean
}

export interface PlayedFrame {
  readonly samples: readonly InputSample[]
  /** Reads in it. */
  readonly reads: number
  /** Idle resets that reached the pins in this frame. */
  readonly resets: number
}

/** From when on the input is held: power-on (0), or the instant after so many idle resets have reached the pins. */
export interface Press {
  readonly afterResets: number
}

/**
 * Plays a title against a profile until what the future hangs on comes again.
 *
 * @param timing takes the same time for the same thing in every frame
 * @param input the samples of this one are told, and this one is held; its repeat, if it has one, counts reads
 * @param press `null`: it is not held
 */
export function playRepeat(
  profile: Profile,
  title: Title,
  timing: Timing,
  input: Input,
  press: Press | null,
  course: Course = usualCourse(title),
): Rounds<PlayedFrame> {
  const schedule = scheduleOf(title)
  const player = new Player(schedule, timing, undefined, course)
  const told = new Told(schedule.sixButtons)
  const port = new RepeatingPort(profile, input, press)
  const see = (reads: readonly PlayedRead[]): PlayedFrame => {
    const before = port.resets
    const startNs = reads[0]?.frameNs ?? 0
    const samples = reads.flatMap((read) =>
      samplesIn(profile, schedule, told, input, read, port).map(({ index, atNs, pressed }) => ({
        atNs: atNs - startNs,
        read: read.read,
        index,
        pressed,
      })),
    )
    port.goOnTo(player.resets)
    return { samples, reads: reads.length, resets: port.resets - before }
  }
  return playRounds(player, shapeOf(profile.chart), see, () => port.state)
}

/** What reaches the port while one input is held, idle reset by idle reset. */
class RepeatingPort {
  resets = 0
  readonly #runner: ProfileRunner
  /** Idle resets after which the steady repeat of the input stands where it stood. */
  readonly #repeatResets: number

  constructor(
    profile: Profile,
    private readonly input: Input,
    private readonly press: Press | null,
  ) {
    this.#runner = new ProfileRunner(profile)
    const repeat = profile.repeat[input]
    this.#repeatResets = repeat?.kind === 'reads' ? repeat.pressedReads + repeat.releasedReads : 1
    this.#pressWhenDue()
  }

  /** Idle resets since the press as far as they matter; negative while it is still to come. */
  get state(): number {
    const since = this.press === null ? 0 : this.resets - this.press.afterResets
    return since < 0 ? since : since % this.#repeatResets
  }

  get inputs(): InputMask {
    return this.#runner.inputs
  }

  /** So many idle resets have reached the pins since power-on; no fewer than before. */
  goOnTo(resets: number): void {
    while (this.resets < resets) {
      this.resets++
      this.#runner.readEnded()
      this.#pressWhenDue()
    }
  }

  #pressWhenDue(): void {
    if (this.press?.afterResets === this.resets) this.#runner.ask(inputBit(this.input))
  }
}

function samplesIn(
  { chart }: Profile,
  schedule: Schedule,
  told: Told,
  input: Input,
  { nodes }: PlayedRead,
  port: RepeatingPort,
): Omit<InputSample, 'read'>[] {
  const seen: Omit<InputSample, 'read'>[] = []
  told.startRead()
  let six = believes(told.belief, 0)
  for (const { sample, atNs, rises, level, resets } of nodes.flatMap(({ met }) => met)) {
    port.goOnTo(resets)
    const { inputs } = port
    const phase = phaseAt(chart, rises, level)
    for (const index of sample.uses) {
      if (sample.uses.includes(IDENTIFIES)) {
        told.meet(index, phase)
        six = believes(told.belief, inputs)
      }
      const taken = schedule.samples[index]
      const pins = PINS.filter((pin) => taken?.pins[pin] === input)
      const isMixedIn = taken?.readBack === input
      if (pins.length === 0 && !isMixedIn) continue
      const pressed = pins.some((pin) => cellLevel(phase[pin], inputs) === 'low')
      seen.push({ index, atNs, pressed: pressed || (isMixedIn && level === 'low') })
    }
  }
  return seen.filter(({ index }) => six || schedule.samples[index]?.when === 'always')
}
