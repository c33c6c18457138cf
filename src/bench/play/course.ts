import { phaseAt } from '../../port/chart.ts'
import type { Profile } from '../../profile/schema.ts'
import { scheduleOf } from '../../title/schedule.ts'
import type { Title } from '../../title/schema.ts'
import { Told, believes } from '../belief.ts'
import { boxOf } from '../box.ts'
import type { CabledAdapter } from '../judgement.ts'
import { Player } from './player.ts'
import type { Course } from './player.ts'
import { middleTiming } from './timing.ts'

/** Whether some ways of a title hang on what it believes. */
export const hangsOnBelief = (title: Title): boolean =>
  scheduleOf(title).nodes.some(({ next }) => next.some(({ onlyIf }) => onlyIf !== null))

/** The mode that comes last: titles list what comes at power-on first. What they believe matters to few. */
export const usualCourse = (title: Title, mode = title.modes.length - 1): Course => ({
  mode,
  belief: 'three-buttons',
})

/** Enough for a mode that comes once, a frame or two, and the mode that is asked for. */
const READS = 8

/** How a title is played in front of a profile: as it believes with nothing held and all times in the middle of their ranges. */
export function courseOf(profile: Profile, title: Title, adapter: CabledAdapter, mode?: number): Course {
  const usual = usualCourse(title, mode)
  if (!hangsOnBelief(title)) return usual
  const schedule = scheduleOf(title)
  const player = new Player(schedule, middleTiming(boxOf(profile, title, adapter)), undefined, usual)
  const told = new Told(schedule.sixButtons)
  for (let read = 0; read < READS; read++) {
    told.startRead()
    for (const { sample, rises, level } of player.read().nodes.flatMap(({ met }) => met))
      for (const use of sample.uses) told.meet(use, phaseAt(profile.chart, rises, level))
    if (believes(told.belief, 0)) return { ...usual, belief: 'six-buttons' }
  }
  return usual
}
