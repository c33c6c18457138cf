import { crc32 } from '../../document/crc32.ts'
import { parseReportDescriptor } from '../../pad/descriptor/parse.ts'
import { guessLayout } from '../../pad/descriptor/guess-layout.ts'
import type { ReportDescriptor } from '../../pad/descriptor/shape.ts'
import { ASKS } from '../../pad/learn/controls-to-ask.ts'
import type { Ask } from '../../pad/learn/controls-to-ask.ts'
import { learnedLayout } from '../../pad/learn/layout.ts'
import type { Extractor } from '../../pad/layout/schema.ts'
import { numbersWord } from '../../words/hexadecimal.ts'
import { LayoutDraft } from './layout-draft.svelte.ts'
import { LearnSession } from './learn-session.svelte.ts'
import { t } from './learn-texts.ts'
import type { PadDescriptor } from './learn-tray.svelte.ts'
import { namedPlaces, placeLabels } from './named-places.ts'
import type { NamedPlace } from './named-places.ts'
import type { Pace } from './learn-session.svelte.ts'
import type { PadSource } from './pad-source.ts'
import { remarkWords } from './remark-words.ts'

/** Where the work stands: which pad it is, pressing one control after another, or looking at what came of it. */
type Stage = 'sources' | 'asking' | 'outcome'

/** What is asked to find an extractor again. */
export function asksFor(extractor: Extractor): readonly Ask[] {
  return ASKS.filter((ask) => {
    switch (extractor.kind) {
      case 'threshold':
      case 'array':
        return ask.kind === 'press' && ask.control === extractor.control
      case 'hat':
        if (extractor.cross === 'dpad') return ask.kind === 'press' && ask.control.startsWith('dpad-')
        return ask.kind === 'push' && `stick-${ask.stick}` === extractor.cross
      case 'axis':
        // The edge is rolled with both axes at once.
        return ask.kind !== 'press' && ask.stick === extractor.stick
    }
  })
}

/** One pad on its way to a layout. It outlives the sheet: whoever looks at another station finds it as it was. */
class LearnWork {
  stage = $state.raw<Stage>('sources')
  session = $state.raw<LearnSession | null>(null)
  draft = $state.raw<LayoutDraft | null>(null)
  /** The descriptor that it came from, where it came from one. */
  descriptor = $state.raw<ReportDescriptor | null>(null)
  descriptorCrc32 = $state.raw<number | null>(null)
  places = $state.raw<readonly NamedPlace[]>([])
  /** What the user should know of what was found. */
  remarks = $state.raw<readonly string[]>([])
  /** Something would be lost if it were thrown away. */
  readonly hasWork: boolean = $derived(
    (this.draft?.extractors.length ?? 0) > 0 || (this.session?.view.answers.length ?? 0) > 0,
  )

  /** Learns a pad by pressing. Gives the sentence of a refusal, or `null`. */
  async begin(source: PadSource, pace?: Pace): Promise<string | null> {
    const session = new LearnSession(source, pace)
    await session.start()
    if (session.fault !== '') {
      await session.stop()
      return session.fault
    }
    await this.discard()
    this.session = session
    this.draft = new LayoutDraft(source.pad, source.name)
    this.places = source.places
    this.ask(ASKS)
    return null
  }

  /** Begins with what a report descriptor tells. Gives the sentence of a refusal, or `null`. */
  async describe({ identity, descriptor }: PadDescriptor): Promise<string | null> {
    const parsed = parseReportDescriptor(descriptor)
    if (!parsed.ok) return t.reasonAtByte({ byte: parsed.error.byte, reason: parsed.error.message })
    const pad = { via: 'hid', ...identity, descriptorCrc32: null } as const
    const { layout, notes } = guessLayout(parsed.value, pad)
    await this.discard()
    this.descriptor = parsed.value
    this.places = namedPlaces(parsed.value)
    this.draft = new LayoutDraft(
      pad,
      layout?.name ?? t.padNumbers({ numbers: numbersWord(pad) }),
      layout?.extractors ?? [],
    )
    this.descriptorCrc32 = crc32(descriptor)
    this.remarks = [...notes, ...parsed.value.remarks.map(({ message }) => message)].map(sentence)
    this.stage = 'outcome'
    return null
  }

  /** Asks for these, one after the other. */
  ask(asks: readonly Ask[]): void {
    this.session?.learn(asks)
    this.stage = 'asking'
  }

  /** What was asked so far becomes part of the layout. */
  collect(): void {
    if (!this.session || !this.draft) return
    const { layout, remarks } = learnedLayout(this.session.learner.learned, this.draft.name, this.draft.pad)
    if (layout) this.draft.merge(layout.extractors)
    const label = placeLabels(this.places)
    const said = remarks.map((remark) => remarkWords(remark, label))
    this.remarks = [...this.remarks, ...said.filter((words) => !this.remarks.includes(words))]
    this.stage = 'outcome'
  }

  /** Asks that nothing answers yet. */
  readonly missing: readonly Ask[] = $derived.by(() => {
    const answered = (this.draft?.extractors ?? []).flatMap(asksFor)
    return ASKS.filter((ask) => !answered.includes(ask))
  })

  /** Throws everything away. */
  async discard(): Promise<void> {
    const { session } = this
    this.stage = 'sources'
    this.session = this.draft = this.descriptor = this.descriptorCrc32 = null
    this.places = []
    this.remarks = []
    await session?.stop()
  }
}

const sentence = (words: string): string =>
  t.reason({ reason: `${words.charAt(0).toUpperCase()}${words.slice(1).replace(/\.$/, '')}` })

export const learnWork = new LearnWork()
export type { LearnWork }
