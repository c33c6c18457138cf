import { cellLevel } from '../../../src/port/chart.ts'
import { ALL_INPUTS, PINS, inputBit } from '../../../src/port/pins.ts'
import type { Input, InputMask, Pin } from '../../../src/port/pins.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { scheduleOf } from '../../../src/title/schedule.ts'
import type { Title } from '../../../src/title/schema.ts'
import { combinations } from '../../bench/watch.ts'
import type { Shown } from './counter.ts'

/** What a pad answers with in one phase: for each combination of inputs, the pins that are low. */
export interface Reply extends Shown {
  readonly low: Uint16Array
}

/** What a title makes of replies, all combinations of inputs tried one by one. */
export class Reader {
  readonly replies: readonly Reply[]
  readonly #held: readonly InputMask[]
  readonly #wrong = new Map<number, readonly Reply[]>()

  constructor(
    profile: Profile,
    private readonly title: Title,
  ) {
    const { cycles, after } = profile.chart
    const rows = after.kind === 'stay' ? [...cycles, after.reply] : cycles
    this.replies = rows.flatMap((phases, row) =>
      [true, false].map((isHigh): Reply => {
        const phase = phases[isHigh ? 'high' : 'low']
        const low = new Uint16Array(ALL_INPUTS + 1)
        for (let held = 0; held <= ALL_INPUTS; held++)
          for (const pin of PINS)
            if (cellLevel(phase[pin], held) === 'low') low[held] = (low[held] as number) | (1 << pin)
        return { row, isHigh, low }
      }),
    )
    this.#held = [...combinations(profile)]
  }

  /** Replies in which a sample of the title is wrong. @param identified what its read believes in six buttons by; `null`: it is not asked */
  wrongFor(use: number, identified: Reply | null): readonly Reply[] {
    const key = use * 100 + (identified === null ? -1 : this.replies.indexOf(identified))
    const known = this.#wrong.get(key) ?? this.#wrongFor(use, identified)
    this.#wrong.set(key, known)
    return known
  }

  #wrongFor(use: number, identified: Reply | null): Reply[] {
    const pins = Object.entries(scheduleOf(this.title).samples[use]?.pins ?? {}) as unknown as [Pin, Input][]
    return this.replies.filter((reply) =>
      this.#held.some(
        (held) =>
          (identified === null || this.#believes(identified, held)) &&
          pins.some(([pin, input]) => isLow(reply, pin, held) !== ((held & inputBit(input)) !== 0)),
      ),
    )
  }

  /** Replies to the identification that make another belief than one of these: a press that only six buttons bring is lost then. */
  unlike(others: readonly Reply[]): Reply[] {
    const taken = (when: string): Input[] =>
      scheduleOf(this.title).samples.flatMap((one) =>
        one.when === when ? (Object.values(one.pins) as Input[]) : [],
      )
    const always = new Set(taken('always'))
    const extra = taken('six-buttons').filter((input) => !always.has(input))
    const mask = extra.reduce((all, input) => all | inputBit(input), 0)
    const differ = (one: Reply, other: Reply): boolean =>
      this.#held.some(
        (held) => (held & mask) !== 0 && this.#believes(one, held) !== this.#believes(other, held),
      )
    return this.replies.filter((one) => others.some((other) => differ(one, other)))
  }

  #believes(reply: Reply, held: InputMask): boolean {
    const { sixButtons } = this.title
    return (
      sixButtons.kind === 'told' &&
      sixButtons.by.every(({ low }) => low.every((pin) => isLow(reply, pin, held)))
    )
  }
}

const isLow = ({ low }: Reply, pin: Pin, held: InputMask): boolean => (((low[held] ?? 0) >> pin) & 1) !== 0
