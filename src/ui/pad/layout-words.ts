import type { Layout } from '../../pad/layout/schema.ts'

/** How a pad of a layout is read. */
export const READ_WORDS: Readonly<Record<Layout['pad']['via'], string>> = {
  hid: 'by its own reports',
  vendor: 'as a pad of the vendor class',
  gamepad: 'as this browser shows it, not at the adapter',
}

/** What a layout finds in all: "12 controls, 2 sticks". */
export function findsWords(extractors: Layout['extractors']): string {
  const controls = new Set(
    extractors.flatMap((one) => {
      if (one.kind === 'axis') return []
      return one.kind === 'hat'
        ? ['up', 'down', 'left', 'right'].map((way) => `${one.cross}-${way}`)
        : [one.control]
    }),
  ).size
  const sticks = new Set(extractors.flatMap((one) => (one.kind === 'axis' ? [one.stick] : []))).size
  const some = (count: number, noun: string) =>
    count === 0 ? [] : [`${count} ${noun}${count === 1 ? '' : 's'}`]
  return [...some(controls, 'control'), ...some(sticks, 'stick')].join(', ')
}
