import { PINS } from '../../port/pins.ts'
import type { Input, Level, Pin } from '../../port/pins.ts'
import type { Condition, ReadPlace, StepPlace, TakenSample, Telling } from '../schedule.ts'
import type { SampleStep, Title } from '../schema.ts'
import { clashTexts as t } from '../title-file-texts.ts'
import { clash } from './clash.ts'
import type { Clash } from './clash.ts'
import type { SampleUse } from './lay-out-read.ts'
import type { WrittenStep } from './write-out.ts'

/** A read of the file with its steps written out. */
export interface WrittenRead {
  readonly place: ReadPlace
  readonly steps: readonly WrittenStep[]
  readonly startLevel: Level
}

interface Named {
  readonly read: number
  readonly index: number
  readonly order: number
}

/** All samples of a title, and how they hang together. */
export class SamplesOf {
  readonly samples: TakenSample[] = []
  readonly #uses = new Map<WrittenStep, SampleUse>()
  /** By their name; one for each read that has it. */
  readonly #named = new Map<string, Named[]>()
  readonly telling: Telling

  constructor(
    private readonly title: Title,
    private readonly reads: readonly WrittenRead[],
    /** Reads that can have come before a read; `null`: all. */
    private readonly before: (read: ReadPlace) => readonly ReadPlace[] | null,
  ) {
    this.#name()
    this.telling = this.#tellingOf()
    reads.forEach((read, k) => this.#take(read, k))
  }

  useOf(step: WrittenStep): SampleUse {
    return this.#uses.get(step) as SampleUse
  }

  /** Numbers every sample, so that one may refer to another that comes after it. */
  #name(): void {
    let index = 0
    this.reads.forEach(({ steps }, read) => {
      for (const { step, at, isRepeated, index: order } of steps) {
        if (!('sample' in step)) continue
        if (step.name !== undefined) {
          if (isRepeated) clash([...at, 'name'], t.namedInRepeat)
          const known = this.#named.get(step.name) ?? []
          if (known.some((one) => one.read === read)) clash([...at, 'name'], t.nameTwice({ name: step.name }))
          this.#named.set(step.name, [...known, { read, index, order }])
        }
        index += step.sample.select === undefined ? 1 : 2
      }
    })
  }

  #tellingOf(): Telling {
    const { sixButtons } = this.title
    if (sixButtons.kind !== 'told') return { kind: sixButtons.kind }
    const by = sixButtons.by.map(({ sample, low, high }, k): Condition => {
      const named = this.#named.get(sample)
      if (named === undefined) clash(['sixButtons', 'by', k, 'sample'], t.noSuchSample({ name: sample }))
      return { samples: named.map(({ index }) => index), low, high }
    })
    const names = new Set(sixButtons.by.map(({ sample }) => sample))
    const { holds } = sixButtons
    return { kind: 'told', by, holds, isAtOnce: holds === 'read' && names.size === 1 }
  }

  /** Whether all conditions of six buttons can have come before a step of a read, by its place among the written steps. */
  canBeTold(read: number, step: number): boolean {
    const { sixButtons } = this.title
    if (sixButtons.kind !== 'told') return false
    const before = sixButtons.holds === 'read' ? [] : this.before((this.reads[read] as WrittenRead).place)
    return sixButtons.by.every(({ sample }) =>
      (this.#named.get(sample) ?? []).some((one) => {
        if (one.read === read && one.order < step) return true
        const { place } = this.reads[one.read] as WrittenRead
        return before === null || before.some((each) => each.mode === place.mode && each.read === place.read)
      }),
    )
  }

  #take(read: WrittenRead, k: number): void {
    const { telling } = this
    let level = read.startLevel
    let edges = 0
    for (const written of read.steps) {
      const { step, at } = written
      if ('select' in step) {
        const next: Level = step.select === 'low' ? 'low' : 'high'
        if (next !== level) edges++
        level = next
        continue
      }
      const place: StepPlace = {
        ...read.place,
        step: written.index,
        cycle: (read.startLevel === 'high' ? Math.floor(edges / 2) : Math.ceil(edges / 2)) + 1,
        level,
      }
      this.#checkWaiting(step, at, k)
      const index = this.samples.length
      const { pins, agreesWith } = this.#takes(step, at, k)
      this.samples.push({ pins, agreesWith, readBack: null, when: step.when, place })
      const { select } = step.sample
      if (select !== undefined)
        this.samples.push({ pins: {}, agreesWith: {}, readBack: select, when: step.when, place })
      const tells = telling.kind === 'told' && telling.by.some(({ samples }) => samples.includes(index))
      const isTaken = Object.keys(step.sample).length > 0
      if (!tells && !isTaken && step.possible === undefined) clash([...at, 'sample'], t.takesNothing)
      this.#uses.set(written, {
        uses: tells ? [-1, index] : [index],
        readBack: select === undefined ? null : index + 1,
        waits: step.when === 'six-buttons' && (telling.kind !== 'told' || telling.isAtOnce),
      })
    }
  }

  #takes(
    { sample, name }: SampleStep,
    at: Clash['at'],
    read: number,
  ): Pick<TakenSample, 'pins' | 'agreesWith'> {
    const pins: Partial<Record<Pin, Input>> = {}
    const agreesWith: Partial<Record<Pin, number>> = {}
    for (const pin of PINS) {
      const taken = sample[pin]
      if (taken === undefined) continue
      if (typeof taken === 'string') {
        pins[pin] = taken
        continue
      }
      pins[pin] = taken.input
      const named = this.#named.get(taken.ifAgrees)
      const other = named?.find((one) => one.read === read) ?? named?.[0]
      if (other === undefined) clash([...at, 'sample', pin], t.noSuchSample({ name: taken.ifAgrees }))
      // What is to agree with the read before it stands for itself.
      agreesWith[pin] = taken.ifAgrees === name ? this.samples.length : other.index
    }
    return { pins, agreesWith }
  }

  #checkWaiting({ when }: SampleStep, at: Clash['at'], read: number): void {
    if (when === 'always') return
    const { sixButtons } = this.title
    // What is told later in the read counts, too: a title can keep a sample until then.
    const isVain =
      sixButtons.kind === 'never' || (sixButtons.kind === 'told' && !this.canBeTold(read, Infinity))
    // What may tell them yet is looked at as one of the things that the title may be.
    const mayTell = sixButtons.possible?.some(({ kind }) => kind !== 'never') ?? false
    if (!isVain || mayTell) return
    const isOnwards = sixButtons.kind === 'told' && sixButtons.holds === 'onwards'
    clash([...at, 'when'], isOnwards ? t.waitsTooSoon : t.waitsInVain)
  }
}
