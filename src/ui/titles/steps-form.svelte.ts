import { fieldTexts } from '../../document/document-texts.ts'
import { isUnseen } from '../../words/foreign.ts'
import type { DocumentError } from '../../document/document.ts'
import type { Input, Level, Pin } from '../../port/pins.ts'
import type { RangeNs } from '../../port/range.ts'
import type { Result } from '../../port/result.ts'
import type { Source } from '../../title/evidence.ts'
import type {
  Mode,
  PlainStep,
  Read,
  SampleStep,
  SelectStep,
  SixButtons,
  Step,
  Takes,
  Title,
} from '../../title/schema.ts'
import {
  IDENTIFYING_PINS,
  USUAL_RISE,
  USUAL_STRETCH,
  usualEdge,
  usualSample,
  usualStarts,
  usualStep,
} from './step-defaults.ts'
import {
  SIX_KEY,
  conditionKey,
  everyStep,
  inList,
  inMode,
  inRead,
  inStep,
  listOf,
  modeKey,
  ownerOf,
  partsOf,
  plainSteps,
  readAt,
  readKey,
  rowKey,
  rowsOf,
  sampleNames,
  samePlace,
  stepAt,
} from './step-places.ts'
import type { ReadPlace } from '../../title/schedule.ts'
import type { RowPlace } from './step-places.ts'
import { startLevel, timedSteps } from './step-times.ts'
import { t } from './title-form-texts.ts'

/** Tries a change of the kept title; edits of one group are undone together. */
export type TryChange = (
  group: string | null,
  change: (title: Title) => unknown,
) => Result<Title, DocumentError>

type Change = (title: Title) => Title
type What = SelectStep['select'] | 'sample'
type Told = Extract<SixButtons, { readonly kind: 'told' }>
type FrameStarts = Extract<Read['starts'], { readonly kind: 'frame' }>

const TYPED: Source = { kind: 'typed-in' }
const typed = ({ minNs, maxNs }: RangeNs): PlainStep['after'] => ({ minNs, maxNs, source: TYPED })

/** One cycle of the 7.67 MHz processor, in ns (from memory). */
export const CYCLE_NS = 130

const STEPS_IN = new WeakMap<Title, string>()

/** Which kinds of steps a title has, and where. */
function stepsIn(title: Title): string {
  let said = STEPS_IN.get(title)
  if (said === undefined) {
    const kind = (step: PlainStep): string => ('sample' in step ? 'sample' : step.select)
    said = JSON.stringify(
      title.modes.map(({ reads }) =>
        reads.map(({ steps }) => steps.map((step) => ('repeat' in step ? step.steps.map(kind) : kind(step)))),
      ),
    )
    STEPS_IN.set(title, said)
  }
  return said
}

/**
 * The steps of a title: every change is tried at once. What is refused stands next to the step, read or mode that it names, and the title
 * stays. A figure that is changed is typed in from then on.
 */
export class StepsForm {
  readonly #title: () => Title
  readonly #tryChange: TryChange
  #chosen = $state.raw<RowPlace | null>(null)
  /** The steps among which it was chosen, or that a change from here left. */
  #among = ''
  #refusal = $state.raw<{ readonly of: Title; readonly owner: string; readonly sentence: string } | null>(
    null,
  )

  constructor(title: () => Title, tryChange: TryChange) {
    this.#title = title
    this.#tryChange = tryChange
  }

  get title(): Title {
    return this.#title()
  }

  /**
   * The step that is being worked on; `null` where it is gone, or none is. A place says which step it is only among the same steps: where
   * another tab or an undo put others there, what is typed would go into the wrong one.
   */
  get chosen(): RowPlace | null {
    if (this.#chosen === null || this.#among !== stepsIn(this.title)) return null
    return stepAt(this.title, this.#chosen) !== undefined ? this.#chosen : null
  }

  choose(place: RowPlace | null): void {
    this.#among = stepsIn(this.title)
    this.#chosen = place
  }

  isChosen(place: RowPlace): boolean {
    return samePlace(this.chosen, place)
  }

  /** The sentence that stands next to a part of the title; empty key: next to the title as a whole. */
  refusalOf(key: string): string | undefined {
    const refusal = this.#refusal
    return refusal?.owner === key && refusal.of === this.title ? refusal.sentence : undefined
  }

  /** What was refused, wherever it stands. */
  get refusal(): { readonly owner: string; readonly sentence: string } | null {
    return this.#refusal?.of === this.title ? this.#refusal : null
  }

  /** A change by choice: `false` where it is refused. @param asked the part of the title where it was asked for */
  #do(asked: string, change: Change, group: string | null = null): boolean {
    return this.#try(asked, group, change) === null
  }

  /** A change by typing: its field holds the refusal, which another part shows, too, where it names that. */
  #type(asked: string, field: string, change: Change): string | null {
    const sentence = this.#try(asked, `${asked} ${field}`, change)
    if (this.#refusal?.owner === asked) this.#refusal = null
    return sentence
  }

  #try(asked: string, group: string | null, change: Change): string | null {
    const kept = this.title
    let next = kept
    const tried = this.#tryChange(group, (now) => (next = change(now)))
    if (tried.ok) {
      this.#refusal = null
      // Where a step was chosen among these, it goes along with what is changed from here.
      if (this.#among === stepsIn(kept)) this.#among = stepsIn(next)
      return null
    }
    const sentence = t.refused({ message: tried.error.message })
    this.#refusal = { of: kept, owner: keptOwner(ownerOf(tried.error), kept, next) ?? asked, sentence }
    return sentence
  }

  // The title as a whole

  /** All steps at once. */
  replace(change: Change): boolean {
    const done = this.#do('', change)
    if (done) this.choose(null)
    return done
  }

  setIdle(idle: Level): boolean {
    return this.#do('', (now) => ({ ...now, idle, sources: { ...now.sources, idle: TYPED } }))
  }

  setRise(rise: RangeNs): string | null {
    return this.#type('', 'rise', (now) => ({ ...now, rise: typed(rise) }))
  }

  // Modes

  nameMode(mode: number, name: string): string | null {
    if (name !== '' && isUnseen(name)) return t.refused({ message: fieldTexts.nameNeeded })
    if (name !== '' && this.title.modes.some((one, k) => k !== mode && one.name === name))
      return t.modeNameTaken({ name })
    return this.#type(modeKey(mode), 'name', (now) =>
      inMode(now, mode, ({ name: _before, ...rest }) => (name === '' ? rest : { name, ...rest })),
    )
  }

  setOnce(mode: number, once: boolean): boolean {
    return this.#do(modeKey(mode), (now) => inMode(now, mode, (one) => ({ ...one, once })))
  }

  /** A mode like the last one, after it. */
  addMode(name: string): boolean {
    const last = this.title.modes.length - 1
    return this.#do(modeKey(last), (now) => ({
      ...now,
      modes: [...now.modes, { ...(now.modes[last] as Mode), name, once: false }],
    }))
  }

  removeMode(mode: number): boolean {
    return this.#do(modeKey(mode), (now) => ({ ...now, modes: now.modes.filter((_, k) => k !== mode) }))
  }

  /** All reads of a mode are tied to the frame, or none is. */
  setTied(mode: number, kind: Read['starts']['kind']): boolean {
    return this.#do(modeKey(mode), (now) =>
      inMode(now, mode, (one) => ({
        ...one,
        reads: one.reads.map((read, k) =>
          read.starts.kind === kind ? read : { ...read, starts: usualStarts(kind, k) },
        ),
      })),
    )
  }

  // Reads

  /** A read like the last one of its mode, 2 ms after it. */
  addRead(mode: number): boolean {
    const last = (this.title.modes[mode]?.reads.length ?? 0) - 1
    return this.#do(readKey({ mode, read: last }), (now) =>
      inMode(now, mode, (one) => {
        const before = one.reads[last] as Read
        const { starts } = before
        const next: Read =
          starts.kind === 'frame'
            ? { ...before, starts: { ...starts, offsetsNs: [(starts.offsetsNs.at(-1) ?? 0) + 2_000_000] } }
            : before
        return { ...one, reads: [...one.reads, next] }
      }),
    )
  }

  removeRead({ mode, read }: ReadPlace): boolean {
    return this.#do(readKey({ mode, read }), (now) =>
      inMode(now, mode, (one) => ({ ...one, reads: one.reads.filter((_, k) => k !== read) })),
    )
  }

  setFrameStarts(
    place: ReadPlace,
    change: Partial<Pick<FrameStarts, 'offsetsNs' | 'everyFrames' | 'inFrame'>>,
  ): string | null {
    return this.#typeRead(place, Object.keys(change).join(), ({ starts, ...read }) => ({
      ...read,
      starts: starts.kind === 'frame' ? { ...starts, ...change, source: TYPED } : starts,
    }))
  }

  setLate(place: ReadPlace, late: RangeNs): string | null {
    return this.#typeRead(place, 'late', ({ starts, ...read }) => ({
      ...read,
      starts: starts.kind === 'frame' ? { ...starts, late: typed(late) } : starts,
    }))
  }

  setInterval(place: ReadPlace, after: RangeNs): string | null {
    return this.#typeRead(place, 'interval', ({ starts, ...read }) => ({
      ...read,
      starts: starts.kind === 'interval' ? { ...starts, after: typed(after) } : starts,
    }))
  }

  setStretched(place: ReadPlace, stretched: boolean): boolean {
    return this.#do(readKey(place), (now) =>
      inRead(now, place, ({ stretch: _before, ...read }) =>
        stretched ? { ...read, stretch: USUAL_STRETCH } : read,
      ),
    )
  }

  setStretch(place: ReadPlace, change: { readonly byNs?: number; readonly times?: number }): string | null {
    return this.#typeRead(place, Object.keys(change).join(), (read) => ({
      ...read,
      ...(read.stretch && { stretch: { ...read.stretch, ...change, source: TYPED } }),
    }))
  }

  #typeRead(place: ReadPlace, field: string, change: (read: Read) => Read): string | null {
    return this.#type(readKey(place), field, (now) => inRead(now, place, change))
  }

  // Steps

  /** Puts the step that most often comes there at a place in the list, and chooses it. */
  add(place: RowPlace): boolean {
    const list = listOf(this.title, place)
    const before = list[place.step - 1]
    const step = usualStep(before, this.#levelBefore(place))
    const done = this.#do(this.#askedAt(place), (now) =>
      inList(now, place, (steps) => steps.toSpliced(place.step, 0, step)),
    )
    if (done) this.choose(place)
    return done
  }

  remove(place: RowPlace): boolean {
    const done = this.#do(rowKey(place), (now) =>
      inList(now, place, (steps) => steps.toSpliced(place.step, 1)),
    )
    if (done) this.choose(this.#nearest(place))
    return done
  }

  /** Moves a step in the list by one, among the steps that it stands with. */
  move(place: RowPlace, by: -1 | 1): boolean {
    const to = place.step + by
    if (to < 0 || to >= listOf(this.title, place).length) return false
    const done = this.#do(rowKey(place), (now) =>
      inList(now, place, (steps) =>
        steps.toSpliced(place.step, 1).toSpliced(to, 0, steps[place.step] as Step),
      ),
    )
    if (done) this.choose({ ...place, step: to })
    return done
  }

  setWhat(place: RowPlace, what: What): boolean {
    const level = this.#levelBefore(place)
    return this.#do(rowKey(place), (now) => {
      const changed = inStep(now, place, (step) => asWhat(step, what, level))
      return what === 'release' && now.rise === null ? { ...changed, rise: USUAL_RISE } : changed
    })
  }

  setAfter(place: RowPlace, after: RangeNs): string | null {
    return this.#typePlain(place, 'after', (step) => ({ ...step, after: typed(after) }))
  }

  /**
   * Moves a step in time by so much, at most back to what it counts from; what counts from it moves along.
   *
   * @param from what it was when the move began; as it is now, where it is left out
   */
  shift(place: RowPlace, byNs: number, from?: RangeNs): boolean {
    const step = stepAt(this.title, place)
    if (step === undefined || 'repeat' in step) return false
    const { minNs, maxNs } = from ?? step.after
    const by = Math.max(byNs, -minNs)
    return this.#do(
      rowKey(place),
      (now) =>
        inPlain(now, place, (one) => ({ ...one, after: typed({ minNs: minNs + by, maxNs: maxNs + by }) })),
      `${rowKey(place)} after`,
    )
  }

  /** Counts a step from elsewhere; it stays where it is in time. */
  setSince(place: RowPlace, since: PlainStep['since']): boolean {
    const timed = timedSteps(this.title, place).find((one) => samePlace(one.place, place))
    const step = stepAt(this.title, place)
    if (step === undefined || timed === undefined || 'repeat' in step || step.since === since) return true
    return this.#do(rowKey(place), (now) => {
      const counted = inPlain(now, place, (one) => ({ ...one, since }))
      const other = timedSteps(counted, place).find((one) => samePlace(one.place, place))
      const byNs = Math.max(timed.fromNs - (other?.fromNs ?? timed.fromNs), -step.after.minNs)
      const after = typed({ minNs: step.after.minNs + byNs, maxNs: step.after.maxNs + byNs })
      return inPlain(counted, place, (one) => ({ ...one, after }))
    })
  }

  setWhen(place: RowPlace, when: PlainStep['when']): boolean {
    return this.#do(rowKey(place), (now) =>
      inPlain(now, place, (step) => {
        if ('select' in step) return { ...step, when }
        return when === 'three-buttons' ? step : { ...step, when, source: TYPED }
      }),
    )
  }

  setWaits(place: RowPlace, waits: boolean): boolean {
    return this.#do(rowKey(place), (now) =>
      inPlain(now, place, (step) => ('select' in step ? { ...step, waits } : step)),
    )
  }

  setRepeat(place: RowPlace, repeat: number): string | null {
    return this.#type(rowKey(place), 'repeat', (now) =>
      inStep(now, place, (step) => ('repeat' in step ? { ...step, repeat } : step)),
    )
  }

  /** Puts a step into a repeat of its own. */
  repeat(place: RowPlace): boolean {
    if (place.group !== null) return false
    const done = this.#do(rowKey(place), (now) =>
      inStep(now, place, (step) => ('repeat' in step ? step : { repeat: 2, steps: [withoutName(step)] })),
    )
    if (done) this.choose(place)
    return done
  }

  /** Writes a repeat out. */
  spread(place: RowPlace): boolean {
    return this.#do(rowKey(place), (now) =>
      inList(now, place, (steps) =>
        steps.flatMap((step, k) =>
          k === place.step && 'repeat' in step
            ? Array.from({ length: step.repeat }, () => step.steps).flat()
            : [step],
        ),
      ),
    )
  }

  /**
   * Takes a pin of a sample for an input, or for none.
   *
   * @param instead which of the ways in which it may be taken instead; `null`: the one that is judged
   */
  setPin(place: RowPlace, pin: Pin, input: Input | undefined, instead: number | null = null): boolean {
    return this.#takes(place, instead, (takes) => {
      const { [pin]: before, ...others } = takes
      if (input === undefined) return others
      return { ...others, [pin]: typeof before === 'object' ? { ...before, input } : input }
    })
  }

  /** Believes a pin only if another sample agrees. */
  setAgrees(place: RowPlace, pin: Pin, ifAgrees: string | undefined, instead: number | null = null): boolean {
    return this.#takes(place, instead, (takes) => {
      const before = takes[pin]
      if (before === undefined) return takes
      const input = typeof before === 'string' ? before : before.input
      return { ...takes, [pin]: ifAgrees === undefined ? input : { input, ifAgrees } }
    })
  }

  setMixed(place: RowPlace, input: Input | undefined, instead: number | null = null): boolean {
    return this.#takes(place, instead, ({ select: _before, ...others }) =>
      input === undefined ? others : { ...others, select: input },
    )
  }

  /** One more way in which a sample may be taken instead; it begins as the sample is taken. */
  addInstead(place: RowPlace): boolean {
    return this.#sample(place, (step) => ({ ...step, possible: [...(step.possible ?? []), step.sample] }))
  }

  removeInstead(place: RowPlace, instead: number): boolean {
    return this.#sample(place, ({ possible = [], ...step }) => {
      const left = possible.filter((_, k) => k !== instead)
      return left.length === 0 ? step : { ...step, possible: left }
    })
  }

  #takes(place: RowPlace, instead: number | null, change: (takes: Takes) => Takes): boolean {
    return this.#sample(place, (step) =>
      instead === null
        ? { ...step, sample: change(step.sample) }
        : {
            ...step,
            possible: (step.possible ?? []).map((takes, k) => (k === instead ? change(takes) : takes)),
          },
    )
  }

  /** Names a sample; what refers to it goes along where no other has the name. */
  setName(place: RowPlace, name: string): string | null {
    return this.#type(rowKey(place), 'name', (now) => renamed(now, place, name))
  }

  #sample(place: RowPlace, change: (step: SampleStep) => SampleStep): boolean {
    return this.#do(rowKey(place), (now) =>
      inPlain(now, place, (step) => ('sample' in step ? { ...change(step), source: TYPED } : step)),
    )
  }

  #typePlain(place: RowPlace, field: string, change: (step: PlainStep) => PlainStep): string | null {
    return this.#type(rowKey(place), field, (now) => inPlain(now, place, change))
  }

  /** The row next to which it stands why a step cannot be put there. */
  #askedAt(place: RowPlace): string {
    const list = listOf(this.title, place)
    return list.length === 0 ? readKey(place) : rowKey({ ...place, step: Math.max(0, place.step - 1) })
  }

  #nearest(place: RowPlace): RowPlace | null {
    const { length } = listOf(this.title, place)
    return length === 0 ? null : { ...place, step: Math.min(place.step, length - 1) }
  }

  /** Level that select is at before a step, or before what would be put there. */
  #levelBefore(place: RowPlace): Level {
    const read = readAt(this.title, place)
    const rows = read ? rowsOf(read, place).map((row) => rowKey(row.place)) : []
    const at = rows.indexOf(rowKey(place))
    const before = at === -1 ? rows : rows.slice(0, at)
    const timed = timedSteps(this.title, place).filter((one) => before.includes(rowKey(one.place)))
    return timed.at(-1)?.level ?? startLevel(this.title, place)
  }

  // Six buttons

  setSix(kind: SixButtons['kind']): boolean {
    return this.#do(SIX_KEY, (now) => {
      if (kind !== 'told') return { ...now, sixButtons: { kind, source: TYPED } }
      const named = withNamedSample(now)
      const by = [{ sample: sampleNames(named)[0] ?? '', low: [...IDENTIFYING_PINS], high: [] }]
      return { ...named, sixButtons: { kind, by, holds: 'read', source: TYPED } }
    })
  }

  setHolds(holds: Told['holds']): boolean {
    return this.#told(SIX_KEY, (told) => ({ ...told, holds }))
  }

  addCondition(): boolean {
    const { sixButtons } = this.title
    const last = sixButtons.kind === 'told' ? sixButtons.by.length - 1 : 0
    return this.#told(conditionKey(last), (told) => ({
      ...told,
      by: [...told.by, told.by[last] as Told['by'][number]],
    }))
  }

  removeCondition(k: number): boolean {
    return this.#told(conditionKey(k), (told) => ({ ...told, by: told.by.filter((_, j) => j !== k) }))
  }

  setConditionSample(k: number, sample: string): boolean {
    return this.#condition(k, (one) => ({ ...one, sample }))
  }

  /** A pin that is one level is not the other any more. */
  setConditionPin(k: number, pin: Pin, level: Level, on: boolean): boolean {
    return this.#condition(k, (one) => {
      const others = { low: one.low.filter((p) => p !== pin), high: one.high.filter((p) => p !== pin) }
      return { ...one, ...others, ...(on && { [level]: [...others[level], pin].sort((a, b) => a - b) }) }
    })
  }

  #condition(k: number, change: (one: Told['by'][number]) => Told['by'][number]): boolean {
    return this.#told(conditionKey(k), (told) => ({
      ...told,
      by: told.by.map((one, j) => (j === k ? change(one) : one)),
    }))
  }

  #told(asked: string, change: (told: Told) => Told): boolean {
    return this.#do(asked, (now) => ({
      ...now,
      sixButtons:
        now.sixButtons.kind === 'told' ? { ...change(now.sixButtons), source: TYPED } : now.sixButtons,
    }))
  }
}

/**
 * The part of the kept title that a refusal of the changed one names; `null` where it is the changed part itself.
 * Steps that moved are told by what they are.
 */
function keptOwner(owner: string, kept: Title, next: Title): string | null {
  if (owner === '') return null
  const named = new Map(partsOf(next)).get(owner)
  if (named === undefined) return null
  for (const [key, part] of partsOf(kept)) if (part === named) return key
  return null
}

const inPlain = (title: Title, place: RowPlace, change: (step: PlainStep) => PlainStep): Title =>
  inStep(title, place, (step) => ('repeat' in step ? step : change(step)))

function asWhat(step: Step, what: What, level: Level): Step {
  if ('repeat' in step) return step
  if (what === 'sample')
    return 'sample' in step ? step : { ...usualSample(level, step.after), since: step.since }
  return { ...usualEdge(what, step.after), since: step.since, when: step.when }
}

function withoutName(step: PlainStep): PlainStep {
  if (!('sample' in step)) return step
  const { name: _name, ...rest } = step
  return rest
}

function renamed(title: Title, place: RowPlace, name: string): Title {
  const step = stepAt(title, place)
  if (step === undefined || !('sample' in step)) return title
  const before = step.name
  const next = inPlain(title, place, (one) => {
    const bare = withoutName(one)
    return name === '' ? bare : ({ ...bare, name } as PlainStep)
  })
  const isAlone = plainSteps(title).filter((one) => 'sample' in one && one.name === before).length === 1
  if (before === undefined || name === '' || !isAlone) return next
  const { sixButtons } = next
  const refer = (takes: Takes): Takes =>
    Object.fromEntries(
      Object.entries(takes).map(([pin, taken]) => [
        pin,
        typeof taken === 'object' && taken.ifAgrees === before ? { ...taken, ifAgrees: name } : taken,
      ]),
    )
  const referring = everyStep(next, (one) => {
    if (!('sample' in one)) return one
    const possible = one.possible && { possible: one.possible.map(refer) }
    return { ...one, sample: refer(one.sample), ...possible }
  })
  if (sixButtons.kind !== 'told') return referring
  const by = sixButtons.by.map((one) => (one.sample === before ? { ...one, sample: name } : one))
  return { ...referring, sixButtons: { ...sixButtons, by } }
}

/** A title one of whose samples has a name: the last of the first read that has any. */
function withNamedSample(title: Title): Title {
  if (sampleNames(title).length > 0) return title
  for (const [mode, { reads }] of title.modes.entries())
    for (const [read, one] of reads.entries()) {
      const last = rowsOf(one, { mode, read }).findLast(
        ({ place, step }) => 'sample' in step && place.group === null,
      )
      if (last)
        return inPlain(title, last.place, (step) => ({ ...step, name: 'identification' }) as PlainStep)
    }
  return title
}
