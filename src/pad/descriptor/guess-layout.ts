import type { Control } from '../controls.ts'
import type { Hat } from '../extract.ts'
import { hatAround } from '../hat-around.ts'
import { LAYOUT_FORMAT, LAYOUT_LIMITS, LAYOUT_VERSION } from '../layout/schema.ts'
import type { Extractor, Field, Layout, PadIdentity } from '../layout/schema.ts'
import { numbersWord } from '../../words/hexadecimal.ts'
import { guessTexts } from './descriptor-texts.ts'
import { fieldRange } from './reports.ts'
import { placeOfUsage, usageAt, usageCount } from './shape.ts'
import type { ReportDescriptor, ReportItem, Usage } from './shape.ts'
import { PAGE, usageName } from './usage-names.ts'
import { listWords } from '../../words/lists.ts'

/** One extractor of a guessed layout, and how well founded it is. */
export interface Guess {
  /** Its place among the extractors of the layout. */
  readonly extractor: number
  readonly usage: Usage
  /** The usage itself says what it is (an X axis, a hat switch); a button's number does not say where on the pad it is. */
  readonly sure: boolean
}

export interface GuessedLayout {
  /** `null` where nothing in the descriptor is a control of a pad. */
  readonly layout: Layout | null
  readonly guessed: readonly Guess[]
  /** What the user should know of it, in sentences. */
  readonly notes: readonly string[]
}

/** The control of each button by its number; `null` where that number has no place of its own. */
type ButtonOrder = readonly (Control | null)[]

/** Common practice, no source: button 1 is the lower one, and the others follow as the W3C standard layout has them. */
const USUAL_ORDER: ButtonOrder = [
  'face-south',
  'face-east',
  'face-west',
  'face-north',
  'shoulder-left',
  'shoulder-right',
  'trigger-left',
  'trigger-right',
  'centre-left',
  'centre-right',
  'stick-left-press',
  'stick-right-press',
  'centre',
]

/** Common practice, no source: with analogue triggers and no more than 11 buttons, none of them is a trigger. */
const ORDER_BESIDE_TRIGGERS: ButtonOrder = USUAL_ORDER.filter((control) => !control?.startsWith('trigger'))
const MOST_BUTTONS_BESIDE_TRIGGERS = 11

/** The numbers of the Android Compatibility Definition, section 7.2.6 (from memory), and those beside them in common practice, no source. */
const ORDER_WITH_GAPS: ButtonOrder = [
  'face-south',
  'face-east',
  null,
  'face-west',
  'face-north',
  null,
  'shoulder-left',
  'shoulder-right',
  'trigger-left',
  'trigger-right',
  'centre-left',
  'centre-right',
  'centre',
  'stick-left-press',
  'stick-right-press',
]

/** Which order the buttons come in: by gaps in their numbers, or by what tells the triggers (common practice, no source). */
function buttonOrder(numbers: ReadonlySet<number>, pedals: boolean, analogueTriggers: boolean): ButtonOrder {
  const gaps = !numbers.has(3) && !numbers.has(6) && numbers.has(4) && numbers.has(7)
  if (gaps || (pedals && numbers.size >= ORDER_WITH_GAPS.length)) return ORDER_WITH_GAPS
  return analogueTriggers && numbers.size <= MOST_BUTTONS_BESIDE_TRIGGERS
    ? ORDER_BESIDE_TRIGGERS
    : USUAL_ORDER
}

const EXTRAS: readonly Control[] = [
  'extra-1',
  'extra-2',
  'extra-3',
  'extra-4',
  'extra-5',
  'extra-6',
  'extra-7',
]

const desktop = (id: number): Usage => ({ page: PAGE.desktop, id })
const simulation = (id: number): Usage => ({ page: PAGE.simulation, id })
const consumer = (id: number): Usage => ({ page: PAGE.consumer, id })
const key = (id: number): Usage => ({ page: PAGE.keyboard, id })

const [X, Y, Z, RX, RY, RZ] = [0x30, 0x31, 0x32, 0x33, 0x34, 0x35].map(desktop) as [
  Usage,
  Usage,
  Usage,
  Usage,
  Usage,
  Usage,
]
const HAT = desktop(0x39)
const [ACCELERATOR, BRAKE] = [simulation(0xc4), simulation(0xc5)]

/** Usages that say themselves which control they are. */
const SAID: readonly (readonly [Usage, Control])[] = [
  [desktop(0x90), 'dpad-up'],
  [desktop(0x91), 'dpad-down'],
  [desktop(0x92), 'dpad-right'],
  [desktop(0x93), 'dpad-left'],
  [key(0x52), 'dpad-up'],
  [key(0x51), 'dpad-down'],
  [key(0x50), 'dpad-left'],
  [key(0x4f), 'dpad-right'],
  [desktop(0x3d), 'centre-right'],
  [desktop(0x3e), 'centre-left'],
  [desktop(0x85), 'centre'],
  [consumer(0x223), 'centre'],
  [consumer(0x224), 'centre-left'],
  [consumer(0x40), 'centre-right'],
]

/** Outermost collections that a pad has: joystick, gamepad, multi-axis controller. */
const PADS = [desktop(4), desktop(5), desktop(8)]

const isSame = (a: Usage, b: Usage | null): boolean => a.page === b?.page && a.id === b.id

/** Media keys of a pad stand in a collection of their own. */
const isBesidePad = ({ application }: ReportItem): boolean => application?.page === PAGE.consumer

/** A device that does not say that it is a pad: one for a simulation or a game, or of its maker's own kind. */
const mayBePad = ({ application }: ReportItem): boolean =>
  application === null ||
  application.page === PAGE.simulation ||
  application.page === PAGE.game ||
  application.page >= PAGE.vendor

/** Degrees from the least to the greatest value of a hat that tells angles: to the last of eight positions, or all round. Ours. */
const TURNS = [315, 359, 360]

/** A trigger counts as pressed from so much of its way on, and as let go so far below. Ours. */
const TRIGGER_PRESS = 0.4
const TRIGGER_RELEASE = 0.3

/**
 * A layout as the usages of a descriptor suggest it: a beginning for the learn flow, which asks for what is not sure. The same descriptor always gives
 * the same layout.
 */
export function guessLayout(descriptor: ReportDescriptor, pad: PadIdentity): GuessedLayout {
  const items = usableItems(descriptor)
  const guesser = new Guesser(items)
  guesser.guess()
  const { extractors, guessed, notes } = guesser
  if (extractors.length === 0) {
    return {
      layout: null,
      guessed: [],
      notes: [guessTexts.nothing],
    }
  }
  const layout: Layout = {
    format: LAYOUT_FORMAT,
    version: LAYOUT_VERSION,
    name: `Pad ${numbersWord(pad)}`,
    notes: '',
    pad,
    extractors,
  }
  return { layout, guessed, notes }
}

/** What a report brings that a layout can read, the report that has the most of it first. */
function usableItems({ reports, numbered }: ReportDescriptor): ReportItem[] {
  const inputs = reports.filter(({ kind, report }) => kind === 'input' && report > 0 === numbered)
  const readable = inputs.map(({ report, items }) => ({
    report,
    items: items.filter(
      ({ field, count, constant, relative, usages }) =>
        !constant &&
        !relative &&
        usages.length > 0 &&
        field.bit + field.bits * count <= LAYOUT_LIMITS.reportBytes * 8,
    ),
  }))
  const ofPad = ({ application }: ReportItem): boolean => PADS.some((usage) => isSame(usage, application))
  const anyPad = readable.some(({ items }) => items.some(ofPad))
  return readable
    .map(({ report, items }) => ({
      report,
      items: items.filter((item) => (anyPad ? ofPad(item) || isBesidePad(item) : mayBePad(item))),
    }))
    .sort((a, b) => weight(b.items) - weight(a.items) || a.report - b.report)
    .flatMap(({ items }) => items)
}

const isButton = ({ usages }: ReportItem): boolean => usages[0]?.page === PAGE.button
const weight = (items: readonly ReportItem[]): number =>
  items.filter((item) => isButton(item) || item.usages[0]?.page === PAGE.desktop).length

class Guesser {
  readonly extractors: Extractor[] = []
  readonly guessed: Guess[] = []
  readonly notes: string[] = []
  readonly #items: readonly ReportItem[]
  readonly #taken = new Set<Control>()

  constructor(items: readonly ReportItem[]) {
    this.#items = items
  }

  guess(): void {
    this.#hat()
    this.#stick('left', X, Y)
    const [right, triggers] = this.#pairs()
    if (right !== null) this.#stick('right', ...right)
    const analogue: (readonly [Control, Usage])[] = [
      ['trigger-left', BRAKE],
      ['trigger-right', ACCELERATOR],
    ]
    if (triggers !== null) analogue.push(['trigger-left', triggers[0]], ['trigger-right', triggers[1]])
    for (const [usage, control] of SAID) this.#button(control, usage, true)
    this.#buttons(analogue.some(([, usage]) => this.#find(usage) !== undefined))
    for (const [control, usage] of analogue) this.#trigger(control, usage)
  }

  #find(usage: Usage): ReportItem | undefined {
    return this.#items.find(({ array, usages }) => !array && placeOfUsage(usages, usage) >= 0)
  }

  #add(extractor: Extractor, usage: Usage, sure: boolean): void {
    if (this.extractors.length >= LAYOUT_LIMITS.extractors) return
    this.guessed.push({ extractor: this.extractors.length, usage, sure })
    this.extractors.push(extractor)
  }

  #hat(): void {
    const item = this.#find(HAT)
    if (item === undefined) return
    const field = readable(item.field)
    if (field === null) return
    const hat = this.#hatIn(item, field)
    if (hat === null) return
    this.#add({ kind: 'hat', cross: 'dpad', field: field.field, ...hat }, HAT, true)
    for (const control of ['dpad-up', 'dpad-down', 'dpad-left', 'dpad-right'] as const)
      this.#taken.add(control)
  }

  #hatIn(
    { logicalMin, logicalMax, physicalMin, physicalMax }: ReportItem,
    { field, scaled }: Readable,
  ): Hat | null {
    const values = logicalMax - logicalMin + 1
    // Some count their null state among the values (common practice, no source).
    if (values >= 4 && values <= 16) {
      const positions = values < 8 ? 4 : 8
      if (values !== positions) {
        this.notes.push(guessTexts.hatValues({ values, positions }))
      }
      return hatAround(scaled(logicalMin), 1, positions)
    }
    const [low, high] = [scaled(logicalMin), scaled(logicalMax)]
    const degrees = physicalMax > physicalMin ? physicalMax - physicalMin : high - low
    const step = Math.round((45 * (high - low)) / degrees)
    // Without a step where the field is too narrow for the range that it tells.
    if (values < 4 || !TURNS.includes(degrees) || step < 1) {
      this.notes.push(guessTexts.hatLeftOut({ values }))
      return null
    }
    this.notes.push(guessTexts.hatAngle({ values }))
    const [least, most] = fieldRange(field)
    return hatAround(low, step, 8, {
      below: low > least ? low - 1 : undefined,
      above: high < most ? high + 1 : undefined,
    })
  }

  /** Which two axes are the right stick, and which are triggers. */
  #pairs(): [right: readonly [Usage, Usage] | null, triggers: readonly [Usage, Usage] | null] {
    const known = (from: readonly (readonly [Usage, Usage])[]) =>
      from.flatMap(([a, b]) => {
        const [one, two] = [this.#find(a), this.#find(b)]
        return one === undefined || two === undefined
          ? []
          : [{ usages: [a, b] as const, at: this.#items.indexOf(one), item: one }]
      })
    const usual = known([
      [Z, RZ],
      [RX, RY],
    ])
    // There are pads that tell the right stick by one of each (tests/pad/descriptor/real/62-pad.hex).
    const pairs = usual.length > 0 ? usual : known([[RX, RZ]])
    const x = this.#find(X)
    const alike = ({ item }: { item: ReportItem }): number => (item.field.bits === x?.field.bits ? 0 : 1)
    // A stick is told like the other stick, and before the triggers (common practice, no source).
    pairs.sort((a, b) => alike(a) - alike(b) || a.at - b.at)
    const [right, triggers] = pairs
    if (right !== undefined && triggers !== undefined) {
      this.notes.push(
        guessTexts.pairs({ right: pairWords(right.usages), triggers: pairWords(triggers.usages) }),
      )
    }
    return [right?.usages ?? null, triggers?.usages ?? null]
  }

  #stick(stick: 'left' | 'right', x: Usage, y: Usage): void {
    for (const [axis, usage] of [
      ['x', x],
      ['y', y],
    ] as const) {
      const item = this.#find(usage)
      const field = item && readable(item.field)
      if (item === undefined || field === null || field === undefined) continue
      const [low, high] = [field.scaled(item.logicalMin), field.scaled(item.logicalMax)]
      const centre = Math.floor((low + high + 1) / 2)
      if (!(low < centre && centre < high)) {
        this.notes.push(guessTexts.noMiddle({ axis: usageName(usage.page, usage.id) }))
        continue
      }
      if (high - low < 16) {
        this.notes.push(guessTexts.asStick({ axis: usageName(usage.page, usage.id), values: high - low + 1 }))
      }
      this.#add({ kind: 'axis', stick, axis, field: field.field, low, centre, high }, usage, stick === 'left')
    }
  }

  #trigger(control: Control, usage: Usage): void {
    const item = this.#find(usage)
    const field = item && readable(item.field)
    if (item === undefined || field === null || field === undefined || this.#taken.has(control)) return
    const [low, high] = [field.scaled(item.logicalMin), field.scaled(item.logicalMax)]
    if (high <= low) return
    const at = (share: number): number => low + Math.max(1, Math.round((high - low) * share))
    this.#taken.add(control)
    this.#add(
      {
        kind: 'threshold',
        control,
        field: field.field,
        press: at(TRIGGER_PRESS),
        release: at(TRIGGER_RELEASE),
      },
      usage,
      usage.page === PAGE.simulation,
    )
  }

  /** @returns whether the control was free and the usage is there */
  #button(control: Control, usage: Usage, sure: boolean): boolean {
    if (this.#taken.has(control)) return false
    for (const item of this.#items) {
      const place = placeOfUsage(item.usages, usage)
      const field = readable(item.field)
      if (place < 0 || field === null) continue
      if (item.array) {
        if (item.count > 64) continue
        this.#add(
          { kind: 'array', control, field: item.field, count: item.count, value: item.logicalMin + place },
          usage,
          sure,
        )
      } else {
        const press = Math.max(1, field.scaled(item.logicalMax))
        this.#add({ kind: 'threshold', control, field: field.field, press, release: press }, usage, sure)
      }
      this.#taken.add(control)
      return true
    }
    return false
  }

  #buttons(analogueTriggers: boolean): void {
    const numbers = new Set<number>()
    for (const item of this.#items.filter(isButton)) {
      // An array may name thousands; a pad has no more controls than these.
      const count = Math.min(usageCount(item.usages), 128)
      for (let k = 0; k < count; k++) {
        const usage = usageAt(item.usages, k)
        if (usage?.page === PAGE.button && usage.id > 0) numbers.add(usage.id)
      }
    }
    const order = buttonOrder(numbers, this.#find(BRAKE) !== undefined, analogueTriggers)
    const extras = [...EXTRAS]
    let left = 0
    for (const id of [...numbers].sort((a, b) => a - b)) {
      const usage = { page: PAGE.button, id }
      const own = order[id - 1]
      if (own !== null && own !== undefined && this.#button(own, usage, false)) continue
      const extra = extras.shift()
      if (extra === undefined || !this.#button(extra, usage, false)) left++
    }
    if (left > 0) this.notes.push(guessTexts.leftOver({ n: left }))
  }
}

const pairWords = (pair: readonly Usage[]): string =>
  listWords(pair.map(({ page, id }) => usageName(page, id)))

interface Readable {
  readonly field: Field
  /** What a value of the descriptor is in it. */
  readonly scaled: (value: number) => number
}

/**
 * The field as a layout can read it. 32 bits without sign do not fit into a layout: the upper 31 of them do, and a value is then half as large.
 */
function readable(field: Field): Readable | null {
  if (field.bit + field.bits > LAYOUT_LIMITS.reportBytes * 8) return null
  const narrow: Field =
    field.signed || field.bits < 32 ? field : { ...field, bit: field.bit + 1, bits: field.bits - 1 }
  const [least, most] = fieldRange(narrow)
  const half = narrow === field ? 1 : 2
  return { field: narrow, scaled: (value) => Math.min(most, Math.max(least, Math.floor(value / half))) }
}
