import type { Profile } from '../../profile/schema.ts'
import { scheduleOf } from '../../title/schedule.ts'
import type { Title } from '../../title/schema.ts'
import { boxOf } from '../box.ts'
import type { CabledAdapter } from '../judgement.ts'
import { Player } from './player.ts'
import { middleTiming } from './timing.ts'

/** A title in front of a profile, with every time in the middle of its range. */
export const middlePlayer = (profile: Profile, title: Title, adapter: CabledAdapter): Player =>
  new Player(scheduleOf(title), middleTiming(boxOf(profile, title, adapter)))
