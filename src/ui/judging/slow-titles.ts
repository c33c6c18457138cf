import { sameItems } from '../../document/same-items.ts'
import type { TitleEntry } from '../../shelf/entry.ts'
import { scheduleOf } from '../../title/schedule.ts'
import type { Title } from '../../title/schema.ts'
import type { JudgeInput } from './judgements.ts'

/** Up to so many titles are judged on the spot, well within a frame; more go to workers. */
const ON_THE_SPOT = 12

/**
 * Instants of a schedule up to which a title is judged on the spot. Judging grows faster than they do: 20 take some ms, the 257 of a read of 512
 * steps take seconds.
 */
const QUICK_NODES = 48

/** Whether judging a title can be felt where somebody types. An interrupt in any gap makes it as long as so many more titles. */
export function takesLong(title: Title): boolean {
  const { nodes } = scheduleOf(title)
  const stretches = Math.max(0, ...nodes.map((node) => node.stretches ?? 0))
  return nodes.length * (1 + stretches) > QUICK_NODES
}

/** The titles that go to workers: all of many, else those that take long. */
export const slowOf = (titles: readonly TitleEntry[]): readonly TitleEntry[] =>
  titles.length > ON_THE_SPOT ? titles : titles.filter(({ document }) => takesLong(document))

/** All but some of them. */
export function othersThan(
  some: readonly TitleEntry[],
  titles: readonly TitleEntry[],
): readonly TitleEntry[] {
  const left = new Set(some)
  return titles.filter((title) => !left.has(title))
}

/** The earlier one of two that ask the same: what only knows it by identity does not ask again. */
export const earlierIfSame = (before: JudgeInput | null, input: JudgeInput): JudgeInput =>
  before?.profile === input.profile &&
  before.options === input.options &&
  sameItems(before.titles, input.titles)
    ? before
    : input
