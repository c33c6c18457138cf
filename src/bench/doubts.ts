import { PLACES, withGuessesAt } from '../title/guessed-times.ts'
import { groupAt, possibilitiesOf, titleTaking, titleTakingNone, titleTakingOne } from '../title/possible.ts'
import type { OpenGroup } from '../title/possible.ts'
import type { Title } from '../title/schema.ts'
import type { Assumption, Judgement, TitleAssumption } from './judgement.ts'
import type { Judging } from './judging.ts'

/** Something that a title may do, with which it misreads. */
export interface FoundDoubt {
  readonly assumes: TitleAssumption
  /** The title if it does. */
  readonly title: Title
  readonly judgement: Judgement
}

/** What of all that a title may be misreads. `sure`: whatever it does. */
export type Doubts =
  | { readonly kind: 'sure'; readonly judgement: Judgement }
  | {
      readonly kind: 'open'
      /** A way of telling six buttons with which it can read right. */
      readonly detection: number
      readonly found: readonly FoundDoubt[]
    }

/**
 * Goes through what a title may do one by one. A sample is a leaf: what it is taken for changes nothing for those that do not hang on it, so each is asked
 * alone, and a title reads right exactly if all its samples do.
 */
export function findDoubts(title: Title, judging: Judging): Doubts {
  const { detections } = possibilitiesOf(title) ?? { detections: [null] }
  const ways = detections.map((_, detection) => new DetectionAsked(title, judging, detection))
  const right = ways.findIndex(({ misreads }) => misreads === null)
  if (right === -1) return { kind: 'sure', judgement: (ways[0] as DetectionAsked).misreads as Judgement }
  const own = (ways[right] as DetectionAsked).found
  const others = ways.flatMap((way, detection): FoundDoubt[] => {
    if (detection === right) return []
    if (way.misreads === null) return way.found.filter((doubt) => !own.some((one) => isSame(one, doubt)))
    return [{ assumes: { kind: 'six-buttons', detection }, title: way.base, judgement: way.misreads }]
  })
  return { kind: 'open', detection: right, found: [...own, ...others] }
}

/** Whether two doubts are about the same taking of the same sample, however six buttons are told. */
function isSame({ assumes: one }: FoundDoubt, { assumes: other }: FoundDoubt): boolean {
  if (one.kind === 'times') return other.kind === 'times'
  return (
    one.kind === 'sample' && other.kind === 'sample' && one.at === other.at && one.choice === other.choice
  )
}

const isMisread = <T extends { readonly judgement: Judgement | null }>(
  one: T,
): one is T & { readonly judgement: Judgement } => one.judgement !== null

/** A title that tells six buttons in one of the ways that it may. */
class DetectionAsked {
  /** It, with nothing taken that is open. */
  readonly base: Title
  readonly found: FoundDoubt[] = []
  /** What it misreads whatever else it does; `null` where it can read right. */
  readonly misreads: Judgement | null

  constructor(
    title: Title,
    private readonly judging: Judging,
    private readonly detection: number,
  ) {
    const possibilities = possibilitiesOf(title)
    this.base = possibilities === null ? title : titleTakingNone(title, detection)
    this.misreads =
      this.#always(this.base) ??
      (possibilities?.groups ?? []).reduce<Judgement | null>(
        (known, group) => known ?? this.#ask(title, group),
        null,
      )
  }

  /** What open samples misread whatever they are taken for; what they misread if they are taken for some things is kept as a doubt. */
  #ask(title: Title, group: OpenGroup): Judgement | null {
    const { at } = group.samples[0] as OpenGroup['samples'][number]
    // Nothing is made of a title that is not asked any more.
    if (this.judging.isOver) return null
    const asked = group.choices.map((_, choice) => {
      const way = titleTakingOne(title, this.detection, group, choice)
      return { choice, way, judgement: this.judging.misreadOf(way) }
    })
    const wrong = asked.filter(isMisread)
    if (wrong.length < asked.length) {
      for (const { choice, way, judgement } of wrong)
        if (!this.#isOfTimes(title, way, judgement))
          this.found.push({
            assumes: { kind: 'sample', at, choice, detection: this.detection },
            title: way,
            judgement,
          })
      return null
    }
    return asked.reduce<Judgement | null>(
      (sure, { way }) => (sure === null ? null : this.#always(way)),
      (wrong[0] as (typeof wrong)[number]).judgement,
    )
  }

  /**
   * Whether it is not this sample that misreads, but any that comes as soon as its guessed times let it: then they are the doubt, since no title does without all of
   * its samples. What the file takes its samples for has to show it.
   */
  #isOfTimes(title: Title, way: Title, { counterexample }: Judgement): boolean {
    if ((counterexample?.shortNs ?? null) === null) return false
    const stated = titleTaking(title, this.detection, () => 0)
    const soon = withGuessesAt(stated, 'least')
    const late = withGuessesAt(way, 'most')
    if (soon === null || late === null) return false
    const judgement = this.judging.misreadOf(soon)
    if (judgement === null || (judgement.counterexample?.shortNs ?? null) === null) return false
    if (this.judging.misreadOf(late) !== null) return false
    if (!this.found.some(({ assumes }) => assumes.kind === 'times'))
      this.found.push({
        assumes: { kind: 'times', place: 'least', detection: this.detection },
        title: soon,
        judgement,
      })
    return true
  }

  /** What a title misreads wherever its guessed times lie; what it misreads only where they lie badly is kept as a doubt. */
  #always(title: Title): Judgement | null {
    const judgement = this.judging.misreadOf(title)
    if (judgement === null) return null
    const places = PLACES.flatMap((place) => {
      const there = withGuessesAt(title, place)
      return there === null ? [] : [{ place, there, judgement: this.judging.misreadOf(there) }]
    })
    if (places.every(isMisread)) return judgement
    const bad = places.find(isMisread)
    if (this.found.some(({ assumes }) => assumes.kind === 'times')) return null
    this.found.push({
      assumes: { kind: 'times', place: bad?.place ?? null, detection: this.detection },
      title: bad?.there ?? title,
      judgement: bad?.judgement ?? judgement,
    })
    return null
  }
}

/** The title that does what is assumed of it, so that what it misreads then can be shown. */
export function titleThatDoes(title: Title, assumes: Assumption): Title {
  switch (assumes.kind) {
    case 'sample': {
      const one = groupAt(title, assumes.at)
      return one === null ? title : titleTakingOne(title, assumes.detection, one, assumes.choice)
    }
    case 'six-buttons':
      return titleTaking(title, assumes.detection, () => 0)
    case 'times': {
      const way = possibilitiesOf(title) === null ? title : titleTaking(title, assumes.detection, () => 0)
      return (assumes.place && withGuessesAt(way, assumes.place)) ?? way
    }
    case 'left-over':
    case 'asks-six':
      return title
  }
}
