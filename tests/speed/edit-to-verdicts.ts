import { judge } from '../../src/bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { INPUTS } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { setCell } from '../../src/profile/chart-commands.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { shortOf } from '../../src/title/short-of-title.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { limits } from '../bench/play.ts'
import { shortTitle } from '../bench/short-titles.ts'
import { combinations, watch, wrongWith } from '../bench/watch.ts'
import type { Times } from '../bench/watch.ts'
import { medianMs } from './median.ts'
import { shelfOf } from './shelf-titles.ts'

const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }

/** The k-th of a row of edits of a cell. */
const editedCell = (profile: Profile, k: number): Profile => ({
  ...profile,
  chart: setCell(profile.chart, { cycle: k % 4, level: 'high', pin: 1 }, INPUTS[k % 12] ?? 'low'),
})

/** The same with a time, too, so that nothing can be remembered from the run before. */
const edited = (profile: Profile, k: number): Profile => ({
  ...editedCell(profile, k),
  idleResetNs: profile.idleResetNs + k,
})

/** All ends of all ranges: what is tried by those who do not reason over the whole box. */
function corners(profile: Profile, title: ShortTitle): Times[] {
  const { spacing, sample, reply, idle, rise } = limits(profile, title, REFERENCE_ADAPTER)
  const ends = ({ minNs, maxNs }: { minNs: number; maxNs: number }) => [...new Set([minNs, maxNs])]
  return ends(spacing).flatMap((edgeSpacingNs) =>
    ends(sample).flatMap((sampleAfterEdgeNs) =>
      ends(reply).flatMap((replyNs) =>
        ends(idle).flatMap((idleResetNs) =>
          ends(rise).map((riseNs) => ({ edgeSpacingNs, sampleAfterEdgeNs, replyNs, idleResetNs, riseNs })),
        ),
      ),
    ),
  )
}

/** From an edit to the verdicts of 200 titles, beside the peer that tries all combinations on the port engine. */
export async function editToVerdicts(root: string): Promise<void> {
  const titles = shelfOf(root, 200)
  const six = BUILT_IN_PROFILES['six-button']
  const ours = await medianMs(50, (k) => titles.map((title) => judge(edited(six, k), title, options)))
  console.log(`ms edit-to-200-verdicts ${ours.toFixed(1)}`)
  const ofCell = await medianMs(50, (k) => titles.map((title) => judge(editedCell(six, k), title, options)))
  console.log(`ms cell-edit-to-200-verdicts ${ofCell.toFixed(1)}`)

  // The peer plays titles that can be said the short way.
  const few = titles.filter((title) => shortOf(title) !== null).slice(0, 6)
  const some = await medianMs(20, (k) => few.map((title) => judge(edited(six, k), title, options)))
  const oneByOne = await medianMs(3, (k) => {
    for (const title of few.map(shortTitle)) {
      const profile = edited(six, k)
      const reads = corners(profile, title).flatMap((corner) => watch(title, corner, 3))
      for (const held of combinations(profile)) wrongWith(profile, title, reads, held)
    }
  })
  console.log(`ratio judge-over-trying-all-combinations ${(oneByOne / some).toFixed(0)}`)
}
