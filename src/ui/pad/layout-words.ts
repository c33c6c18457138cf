import { slotsOf } from '../../pad/layout/slots.ts'
import type { Layout } from '../../pad/layout/schema.ts'
import { rowWords } from '../../words/lists.ts'
import { t } from './pad-texts.ts'

/** What a layout finds in all: "12 controls, 2 sticks". */
export function findsWords(extractors: Layout['extractors']): string {
  const controls = new Set(extractors.filter(({ kind }) => kind !== 'axis').flatMap(slotsOf)).size
  const sticks = new Set(extractors.flatMap((one) => (one.kind === 'axis' ? [one.stick] : []))).size
  return rowWords([
    ...(controls === 0 ? [] : [t.controls({ n: controls })]),
    ...(sticks === 0 ? [] : [t.sticksFound({ n: sticks })]),
  ])
}
