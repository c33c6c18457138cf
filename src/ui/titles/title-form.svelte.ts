import { fieldTexts } from '../../document/document-texts.ts'
import { isUnseen } from '../../words/foreign.ts'
import type { DocumentError } from '../../document/document.ts'
import type { Level, Pin } from '../../port/pins.ts'
import { PINS } from '../../port/pins.ts'
import type { Result } from '../../port/result.ts'
import { TITLE_LIMITS } from '../../title/title-limits.ts'
import { sameJson } from '../../document/same-json.ts'
import type { Source } from '../../title/evidence.ts'
import { refusedInMicroseconds } from '../../title/refused-times.ts'
import type { Title } from '../../title/schema.ts'
import { shortOf } from '../../title/short-of-title.ts'
import { readShortTitle } from '../../title/short-title.ts'
import type { ShortFigure, ShortSample, ShortTitle } from '../../title/short-title.ts'
import { titleOfShort } from '../../title/title-of-short.ts'
import { Draft } from '../draft.svelte.ts'
import { numberDraft, rangeDrafts, timeDraft, timesDraft } from './range-drafts.ts'
import type { RangeDrafts, RangeEnd } from './range-drafts.ts'
import { tooSoonWords } from './step-words.ts'
import { tooSoonNs } from './step-times.ts'
import { sampleTexts, t } from './title-form-texts.ts'
import {
  chartCycles,
  identificationCycle,
  partsOf,
  plainSample,
  readsOf,
} from '../../title/ways-of-reading.ts'
import type { WayOfReading } from '../../title/ways-of-reading.ts'

type Range = ShortTitle['edgeSpacingNs']
type Change = (title: Title) => unknown
type ShortChange = (short: ShortTitle) => object
/** Tries a change of the kept title; `key` names the field that asks for it. */
export type TryTitle = (key: string, change: Change) => Result<Title, DocumentError>

const FIGURES: readonly ShortFigure[] = [
  'standard',
  'readOffsetsNs',
  'readJitterNs',
  'clockPpm',
  'edgeSpacingNs',
  'sampleAfterEdgeNs',
  'rest',
  'drive',
  'samples',
  'sixButtons',
  'takesOpposite',
]

const typedClock =
  (clockPpm: number): Change =>
  (now) => ({ ...now, clockPpm, sources: { ...now.sources, clockPpm: { kind: 'typed-in' } } })

/** What is asked of every title, and of one that can be said the short way: every change is tried at once; what is refused stands next to its field, and the title stays. */
export class TitleForm {
  readonly #title: () => Title
  /** The last way to say it that was short, where the title has more in it by now: then nothing here is shown. */
  #last: ShortTitle | null = null
  readonly #tryTitle: TryTitle
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
    this.#tryTitle = tryTitle
    this.name = new Draft(
      () => title().name,
      (name) =>
        isUnseen(name)
          ? t.refused({ message: fieldTexts.nameNeeded })
          : this.#plain('name', (now) => ({ ...now, name })),
    )
    this.notes = new Draft(
      () => title().notes,
      (notes) => this.#plain('notes', (now) => ({ ...now, notes })),
    )
    this.cycles = numberDraft(
      () => this.#short.cyclesPerRead,
      (cycles) => this.#setCycles(cycles),
    )
    this.offsets = timesDraft(
      () => this.#short.readOffsetsNs,
      (readOffsetsNs) => this.#draft('readOffsetsNs', (now) => ({ ...now, readOffsetsNs })),
    )
    this.spacing = this.#range('edgeSpacingNs')
    this.sample = this.#range('sampleAfterEdgeNs')
    this.rise = rangeDrafts(
      () => this.#riseNs,
      (riseNs) => this.#draft('drive', (now) => ({ ...now, drive: { kind: 'released', riseNs } })),
    )
    this.jitter = timeDraft(
      () => this.#short.readJitterNs,
      (readJitterNs) => this.#draft('readJitterNs', (now) => ({ ...now, readJitterNs })),
    )
    this.clock = numberDraft(
      () => title().clockPpm,
      (clockPpm) =>
        this.isShort
          ? this.#draft('clockPpm', (now) => ({ ...now, clockPpm }))
          : this.#plain('clockPpm', typedClock(clockPpm)),
    )
  }

  /** Whether the title can be said the short way; what asks for that is shown only where it can. */
  get isShort(): boolean {
    return shortOf(this.#title()) !== null
  }

  /** The title the short way; the last one that was, where it has more in it by now. */
  get short(): ShortTitle {
    return this.#short
  }

  /** Beside the time to a sample: what no program does. */
  get question(): string | undefined {
    const soonestNs = tooSoonNs(this.#title())
    return soonestNs === null ? undefined : tooSoonWords(soonestNs)
  }

  get #short(): ShortTitle {
    const short = shortOf(this.#title())
    if (short !== null) this.#last = short
    const shown = short ?? this.#last
    if (shown === null) throw new Error('the short fields of a title that was never short are not shown')
    return shown
  }

  /** Checks the short way first, so that what is wrong is said at the field that was typed in. What is typed in says so. */
  #try(key: keyof ShortTitle, change: ShortChange): Result<Title, DocumentError> {
    const before = this.#short
    const { mode, sources, captures, isOpen, leftOver, ...fields }: ShortTitle = {
      ...before,
      ...change(before),
    }
    const read = refusedInMicroseconds(() => readShortTitle(fields))
    if (!read.ok) return read
    const typed: Partial<Record<ShortFigure, Source>> = { ...sources }
    for (const figure of FIGURES)
      if (figure === key || !sameJson(read.value[figure], before[figure]))
        typed[figure] = { kind: 'typed-in' }
    const beside = { ...(isOpen && { isOpen }), ...(leftOver && { leftOver }) }
    return this.#tryTitle(key, () =>
      titleOfShort({ ...read.value, mode, sources: typed, captures, ...beside }),
    )
  }

  get reads(): WayOfReading {
    return readsOf(this.#short)
  }

  /** The sentence that stands next to a field. */
  errorOf(key: keyof ShortTitle, draft?: { readonly error: string | undefined }): string | undefined {
    return draft?.error ?? (this.#refusal?.key === key ? this.#refusal.sentence : undefined)
  }

  /** A change by choice: done, or its refusal stands next to the field and `false` says so. */
  choose(key: keyof ShortTitle, change: ShortChange): boolean {
    // Whoever says what is sampled, or how six buttons are told, leaves nothing open.
    const isSaid = key === 'samples' || key === 'sixButtons'
    const tried = this.#try(key, isSaid ? (now) => closed(change(now)) : change)
    this.#refusal = tried.ok
      ? null
      : { key: fieldOf(tried.error) || key, sentence: t.refused({ message: tried.error.message }) }
    return tried.ok
  }

  /** A choice that every title has. */
  chooseOf(key: 'fragile' | 'standard' | 'takesOpposite' | 'clockPpm', value: Partial<Title>): void {
    const typed = key === 'fragile' ? {} : { [key]: { kind: 'typed-in' as const } }
    const tried = this.#tryTitle(key, (now) => ({
      ...now,
      ...value,
      ...(key !== 'fragile' && { sources: { ...now.sources, ...typed } }),
    }))
    this.#refusal = tried.ok ? null : { key, sentence: t.refused({ message: tried.error.message }) }
  }

  /** A change by typing: the draft holds its own refusal; one that belongs to another field stands there, too. */
  #draft(key: keyof ShortTitle, change: ShortChange): string | null {
    return this.#answer(key, this.#try(key, change))
  }

  /** The same for what every title has. */
  #plain(key: 'name' | 'notes' | 'clockPpm', change: Change): string | null {
    return this.#answer(key, this.#tryTitle(key, change))
  }

  #answer(key: keyof ShortTitle, tried: Result<Title, DocumentError>): string | null {
    this.#refusal = null
    if (tried.ok) return null
    const sentence = t.refused({ message: tried.error.message })
    const where = fieldOf(tried.error)
    if (where !== '' && where !== key) this.#refusal = { key: where, sentence }
    return sentence
  }

  #range(key: 'edgeSpacingNs' | 'sampleAfterEdgeNs'): RangeDrafts {
    return rangeDrafts(
      () => this.#short[key],
      (range) => this.#draft(key, (now) => ({ ...now, [key]: range })),
    )
  }

  get #riseNs(): Range {
    const { drive } = this.#short
    return drive.kind === 'released' ? drive.riseNs : { minNs: 0, maxNs: 0 }
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

  setDrive(kind: ShortTitle['drive']['kind']): void {
    // About 172 CPU cycles, 22 µs, on one model (from memory).
    const drive = kind === 'driven' ? { kind } : { kind, riseNs: { minNs: 15_000, maxNs: 30_000 } }
    this.choose('drive', (now) => ({ ...now, drive }))
  }

  setSample(index: number, change: Partial<ShortSample>): boolean {
    const sample = { ...this.#short.samples[index], ...change }
    const isTaken = ({ cycle, level }: ShortSample, k: number): boolean =>
      k !== index && cycle === sample.cycle && level === sample.level
    // The file's own refusal would name the cycle as files of version 2 count it.
    if (sample.cycle !== undefined && sample.level !== undefined && this.#short.samples.some(isTaken)) {
      const cycle = sample.cycle + chartCycles(this.#short.rest)
      this.#refusal = { key: 'samples', sentence: sampleTexts.taken({ cycle, level: sample.level }) }
      return false
    }
    return this.#samples((samples) =>
      samples.map((sample, k) => (k === index ? { ...sample, ...change } : sample)),
    )
  }

  setPin(index: number, pin: Pin, input: ShortSample['pins'][Pin]): boolean {
    const sample = this.#short.samples[index]
    if (!sample) return false
    const { [pin]: _before, ...others } = sample.pins
    return this.setSample(index, { pins: input === undefined ? others : { ...others, [pin]: input } })
  }

  removeSample(index: number): void {
    this.#samples((samples) => samples.filter((_, k) => k !== index))
  }

  /** The first phase of the read that has no sample; `null` when every one has. */
  get #freePhase(): { readonly cycle: number; readonly level: Level } | null {
    const { samples, cyclesPerRead } = this.#short
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

  #samples(change: (samples: readonly ShortSample[]) => readonly ShortSample[]): boolean {
    return this.choose('samples', (now) => ({ ...now, samples: change(now.samples) }))
  }

  setBelief(kind: ShortTitle['sixButtons']['kind']): void {
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

function closed(short: object): object {
  const { isOpen: _isOpen, ...said } = short as Partial<ShortTitle>
  return said
}

/** The field that an error points at. */
const fieldOf = ({ place }: DocumentError): string => place.split(/[.[]/)[0] ?? ''
