import type { Profile } from '../../profile/schema.ts'
import { scheduleOf } from '../../title/schedule.ts'
import type { Title } from '../../title/schema.ts'
import { boxOf } from '../box.ts'
import { courseOf } from './course.ts'
import type { CabledAdapter } from '../judgement.ts'
import { Player } from './player.ts'
import { middleTiming } from './timing.ts'

/**
 * A title in front of a profile, with every time in the middle of its range.
 *
 * @param mode to be played; the last one where nothing is said: titles list what comes at power-on first
 */
export function middlePlayer(profile: Profile, title: Title, adapter: CabledAdapter, mode?: number): Player {
  const box = boxOf(profile, title, adapter)
  return new Player(scheduleOf(title), middleTiming(box), undefined, courseOf(profile, title, adapter, mode))
}
