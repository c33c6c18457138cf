import type { DocumentError } from '../../document/document.ts'
import type { Level, Pin } from '../../port/pins.ts'
import { PINS } from '../../port/pins.ts'
import type { Result } from '../../port/result.ts'
import { TITLE_LIMITS } from '../../title/schema.ts'
import type { Title, TitleSample } from '../../title/schema.ts'
import { Draft } from '../draft.svelte.ts'
import { t } from './title-form-texts.ts'
import { identificationCycle, partsOf, plainSample, readsOf } from '../../title/ways-of-reading.ts'
import type { WayOfReading } from '../../title/ways-of-reading.ts'

const US = 1_000

type Range = Title['edgeSpacingNs']
type RangeEnd = keyof Range
type Change = (title: Title) => unknown
/** Tries a change of the kept title; `key` names the field that asks for it. */
export type TryTitle = (key: string, change: Change) => Result<Title, DocumentError>

/** The two ends of a time range, in µs. */
export interface RangeDrafts {
  readonly min: Draft<number | null>
  readonly max: Draft<number | null>
}

/** Why the ends of a range cannot stand as they would be, in the words that stand beside them. */
function crossed(range: Range, end: RangeEnd, valueNs: number): string | null {
  const next = { ...range, [end]: valueNs }
  if (next.minNs <= next.maxNs) return null
  return end === 'minNs' ? t.aboveMost : t.belowLeast
}

/** The form of a title: every change is tried at once; what is refused stands beside its field, and the title stays. */
export class TitleForm {
  readonly #title: () => Title
  readonly #try: TryTitle
  /** A refusal that no field holds as a draft: a choice, or a change that another field forbids. */
  #refusal = $state.raw<{ readonly key: string; readonly sentence: string } | null>(null)

  readonly name: Draft<string>
  readonly notes: Draft<string>
  readonly cycles: Draft<number | null>
  readonly offsets: Draft<string>
  readonly spacing: RangeDrafts
  readonly sample: RangeDrafts
  readonly rise: RangeDrafts
  /** How late a read may start, in µs. */
  readonly jitter: Draft<number | null>
  /** How far the clock may be off, in parts per million. */
  readonly clock: Draft<number | null>

  constructor(title: () => Title, tryTitle: TryTitle) {
    this.#title = title
    this.#try = tryTitle
    this.name = new Draft(
      () => title().name,
      (name) => this.#draft('name', (now) => ({ ...now, name })),
    )
    this.notes = new Draft(
      () => title().notes,
      (notes) => this.#draft('notes', (now) => ({ ...now, notes })),
    )
    this.cycles = new Draft<number | null>(
      () => title().cyclesPerRead,
      (cycles) => (cycles === null ? t.needed : this.#setCycles(cycles)),
    )
    this.offsets = new Draft(
      () =>
        title()
          .readOffsetsNs.map((ns) => String(ns / US))
          .join(', '),
      (text) => this.#setOffsets(text),
    )
    this.spacing = this.#range('edgeSpacingNs')
    this.sample = this.#range('sampleAfterEdgeNs')
    const rise = (end: RangeEnd) =>
      new Draft<number | null>(
        () => this.#riseNs[end] / US,
        (us) => (us === null ? t.needed : this.#setRise(end, Math.round(us * US))),
      )
    this.rise = { min: rise('minNs'), max: rise('maxNs') }
    this.jitter = new Draft<number | null>(
      () => title().readJitterNs / US,
      (us) =>
        us === null
          ? t.needed
          : this.#draft('readJitterNs', (now) => ({ ...now, readJitterNs: Math.round(us * US) })),
    )
    this.clock = new Draft<number | null>(
      () => title().clockPpm,
      (clockPpm) => (clockPpm === null ? t.needed : this.#draft('clockPpm', (now) => ({ ...now, clockPpm }))),
    )
  }

  get reads(): WayOfReading {
    return readsOf(this.#title())
  }

  /** The sentence that stands beside a field. */
  errorOf(key: keyof Title, draft?: { readonly error: string | undefined }): string | undefined {
    return draft?.error ?? (this.#refusal?.key === key ? this.#refusal.sentence : undefined)
  }

  /** A change by choice: done, or its refusal stands beside the field and `false` says so. */
  choose(key: keyof Title, change: Change): boolean {
    const tried = this.#try(key, change)
    this.#refusal = tried.ok
      ? null
      : { key: fieldOf(tried.error) || key, sentence: t.refused({ message: tried.error.message }) }
    return tried.ok
  }

  /** A change by typing: the draft holds its own refusal; one that belongs to another field stands there, too. */
  #draft(key: keyof Title, change: Change): string | null {
    const tried = this.#try(key, change)
    this.#refusal = null
    if (tried.ok) return null
    const sentence = t.refused({ message: tried.error.message })
    const where = fieldOf(tried.error)
    if (where !== '' && where !== key) this.#refusal = { key: where, sentence }
    return sentence
  }

  #range(key: 'edgeSpacingNs' | 'sampleAfterEdgeNs'): RangeDrafts {
    const end = (which: RangeEnd) =>
      new Draft<number | null>(
        () => this.#title()[key][which] / US,
        (us) => {
          if (us === null) return t.needed
          const ns = Math.round(us * US)
          return (
            crossed(this.#title()[key], which, ns) ??
            this.#draft(key, (now) => ({ ...now, [key]: { ...now[key], [which]: ns } }))
          )
        },
      )
    return { min: end('minNs'), max: end('maxNs') }
  }

  get #riseNs(): Range {
    const { drive } = this.#title()
    return drive.kind === 'released' ? drive.riseNs : { minNs: 0, maxNs: 0 }
  }

  #setRise(end: RangeEnd, ns: number): string | null {
    const riseNs = { ...this.#riseNs, [end]: ns }
    return (
      crossed(this.#riseNs, end, ns) ??
      this.#draft('drive', (now) => ({ ...now, drive: { kind: 'released', riseNs } }))
    )
  }

  /** Takes a rise that was worked out for one end of the range; the other end gives way where it must. */
  takeRise(end: RangeEnd, ns: number): void {
    const { minNs, maxNs } = this.#riseNs
    const riseNs =
      end === 'minNs' ? { minNs: ns, maxNs: Math.max(ns, maxNs) } : { minNs: Math.min(minNs, ns), maxNs: ns }
    this.choose('drive', (now) => ({ ...now, drive: { kind: 'released', riseNs } }))
  }

  #setCycles(cyclesPerRead: number): string | null {
    return this.#draft('cyclesPerRead', (now) => {
      const reads = readsOf(now)
      const next = { ...now, cyclesPerRead }
      const sound = Number.isInteger(cyclesPerRead) && cyclesPerRead <= TITLE_LIMITS.cyclesPerRead
      return reads === 'own' || !sound ? next : { ...next, ...partsOf(reads, next) }
    })
  }

  #setOffsets(text: string): string | null {
    const numbers = text
      .split(/[,;\s]+/)
      .filter((part) => part !== '')
      .map(Number)
    if (numbers.some(Number.isNaN)) return t.numbersNeeded
    const readOffsetsNs = numbers.map((us) => Math.round(us * US))
    return this.#draft('readOffsetsNs', (now) => ({ ...now, readOffsetsNs }))
  }

  setReads(reads: Exclude<WayOfReading, 'own'>): void {
    this.choose('samples', (now) => ({ ...now, ...partsOf(reads, now) }))
  }

  /** The identification moves with the level of rest. */
  setRest(rest: Level): void {
    this.choose('rest', (now) => {
      const next = { ...now, rest }
      if (readsOf(now) !== 'six') return next
      return { ...next, ...partsOf('six', { ...next, cyclesPerRead: identificationCycle(rest) + 1 }) }
    })
  }

  setDrive(kind: Title['drive']['kind']): void {
    // About 172 CPU cycles, 22 µs, on one model (from memory).
    const drive = kind === 'driven' ? { kind } : { kind, riseNs: { minNs: 15_000, maxNs: 30_000 } }
    this.choose('drive', (now) => ({ ...now, drive }))
  }

  setSample(index: number, change: Partial<TitleSample>): boolean {
    return this.#samples((samples) =>
      samples.map((sample, k) => (k === index ? { ...sample, ...change } : sample)),
    )
  }

  setPin(index: number, pin: Pin, input: TitleSample['pins'][Pin]): boolean {
    const sample = this.#title().samples[index]
    if (!sample) return false
    const { [pin]: _before, ...others } = sample.pins
    return this.setSample(index, { pins: input === undefined ? others : { ...others, [pin]: input } })
  }

  removeSample(index: number): void {
    this.#samples((samples) => samples.filter((_, k) => k !== index))
  }

  /** The first phase of the read that has no sample; `null` when every one has. */
  get #freePhase(): { readonly cycle: number; readonly level: Level } | null {
    const { samples, cyclesPerRead } = this.#title()
    for (let cycle = 1; cycle <= cyclesPerRead; cycle++) {
      for (const level of ['high', 'low'] as const) {
        if (!samples.some((sample) => sample.cycle === cycle && sample.level === level))
          return { cycle, level }
      }
    }
    return null
  }

  get canAddSample(): boolean {
    return this.#freePhase !== null
  }

  addSample(): void {
    const free = this.#freePhase
    if (free) this.#samples((samples) => [...samples, plainSample(free.cycle, free.level)])
  }

  #samples(change: (samples: readonly TitleSample[]) => readonly TitleSample[]): boolean {
    return this.choose('samples', (now) => ({ ...now, samples: change(now.samples) }))
  }

  setBelief(kind: Title['sixButtons']['kind']): void {
    this.choose('sixButtons', (now) => ({
      ...now,
      sixButtons:
        kind === 'identified'
          ? { kind, cycle: identificationCycle(now.rest), level: 'low', lowPins: [1, 2, 3, 4] }
          : { kind },
    }))
  }

  /** Where six buttons are found: the cycle, or one of the pins that must be low there. */
  setIdentification(change: {
    readonly cycle?: number
    readonly pin?: Pin
    readonly low?: boolean
  }): boolean {
    return this.choose('sixButtons', (now) => {
      if (now.sixButtons.kind !== 'identified') return now
      const { lowPins, cycle } = now.sixButtons
      const pins = PINS.filter((pin) => (pin === change.pin ? change.low : lowPins.includes(pin)))
      return { ...now, sixButtons: { ...now.sixButtons, cycle: change.cycle ?? cycle, lowPins: pins } }
    })
  }
}

/** The field that an error points at. */
const fieldOf = ({ place }: DocumentError): string => place.split(/[.[]/)[0] ?? ''
