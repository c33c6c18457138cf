import { tick } from 'svelte'
import type { Reading } from '../../bench/reading.ts'
import { cellWord } from '../../port/input-texts.ts'
import { timeWord } from '../../words/figures.ts'
import { rowWords } from '../../words/lists.ts'
import type { Cell, Chart } from '../../port/chart.ts'
import { PINS } from '../../port/pins.ts'
import { plainCell } from '../../profile/chart-commands.ts'
import type { CellRef } from '../../profile/chart-commands.ts'
import type { Contact } from '../connector/contacts.ts'
import type { OnEdit } from './chart-types.ts'
import type { Column } from './chart-columns.ts'
import { LANES, columnIndex } from './chart-columns.ts'
import { layOut } from './chart-geometry.ts'
import { actionOf } from './chart-keys.ts'
import { columnWord, laneWord } from './cell-words.ts'
import { t } from './chart-texts.ts'

/** A place on the grid: lane 0 is select, then the pins; columns in order of time. */
export interface GridPlace {
  readonly lane: number
  readonly column: number
}

/** A cell on its way from the palette, where the pointer is, and over what. */
interface Drag {
  readonly cell: Cell
  readonly x: number
  readonly y: number
  readonly over: GridPlace | null
}

interface PhaseChartProps {
  readonly chart: Chart
  readonly reading: Reading | undefined
  readonly locked: boolean
  readonly onedit: OnEdit | undefined
  readonly onleave: (() => void) | undefined
  hover: Contact | null
}

/** The cell a place stands for; none in the lane of select. */
export function refAt(columns: readonly Column[], { lane, column }: GridPlace): CellRef | undefined {
  const pin = PINS[lane - 1]
  const at = columns[column]
  return pin && at && { cycle: at.source, level: at.level, pin }
}

/** One step on the grid, which ends at its edges. */
export function step(
  place: GridPlace,
  right: number,
  down: number,
  columns: number,
  turned: boolean,
): GridPlace {
  const [along, across] = turned ? [down, right] : [right, down]
  const within = (to: number, count: number) => Math.max(0, Math.min(count - 1, to))
  return { column: within(place.column + along, columns), lane: within(place.lane + across, LANES.length) }
}

/** What the chart does: where the focus is, what a key, a drop and the menu put into a cell, and what is said of it. */
export class PhaseChartState {
  readonly #props: PhaseChartProps
  #root: HTMLElement | null = null

  /** Width of the paper in CSS px; 0 until it has been measured. */
  width = $state(0)
  drag: Drag | null = $state(null)
  /** Said by the live region after a change. */
  said = $state('')
  #at: GridPlace = $state({ lane: 1, column: 0 })

  readonly drawing = $derived.by(() =>
    this.width > 0 ? layOut(this.#props.chart, this.#props.reading, this.width) : undefined,
  )
  /** The place that Tab reaches, kept on the chart when it grows shorter. */
  readonly at: GridPlace = $derived.by(() => ({
    lane: this.#at.lane,
    column: Math.min(this.#at.column, (this.drawing?.columns.length ?? 1) - 1),
  }))

  constructor(props: PhaseChartProps) {
    this.#props = props
  }

  readonly attach = (root: HTMLElement) => {
    this.#root = root
    return () => {
      this.#root = null
    }
  }

  /** The whole of a cell in words: `cycle 3 low, pin 1: low`. */
  label({ lane, column }: GridPlace): string {
    const at = this.drawing?.columns[column]
    const contact = LANES[lane]
    if (!at || contact === undefined) return ''
    const pin = PINS[lane - 1]
    const carries = cellWord(pin === undefined ? at.level : at.phase[pin])
    const words = [t.cell({ column: columnWord(this.#props.chart, at), lane: laneWord(contact), carries })]
    const { reading } = this.#props
    const samples =
      reading?.samples.filter((sample) => columnIndex(sample.cycle, sample.level) === column) ?? []
    if (reading && samples.length > 0) words.push(t.samplesHere({ title: reading.titleName }))
    if (reading?.guilty && pin !== undefined && this.#isGuilty(pin, column))
      words.push(t.misread({ inputs: reading.guilty.sees }))
    const tight = reading?.tight
    if (tight && samples.some((sample) => sample === reading.samples[tight.sampleIndex]))
      words.push(t.tight({ time: timeWord(tight.spareNs) }))
    return rowWords(words)
  }

  #isGuilty(pin: (typeof PINS)[number], column: number): boolean {
    return this.drawing?.runs.some((run) => run.guilty && run.pin === pin && run.from === column) ?? false
  }

  cellAt(place: GridPlace): Cell | undefined {
    const ref = this.ref(place)
    return ref && this.drawing?.columns[place.column]?.phase[ref.pin]
  }

  ref(place: GridPlace): CellRef | undefined {
    return this.drawing && refAt(this.drawing.columns, place)
  }

  put(place: GridPlace, cell: Cell): void {
    const ref = this.ref(place)
    if (!ref) return
    if (this.#props.locked) {
      this.said = t.locked
      return
    }
    if (cell === this.cellAt(place)) return
    this.#props.onedit?.(ref, cell)
    void tick().then(() => {
      this.said = this.label(place)
    })
  }

  /** The three-button cell of the same level and pin. */
  putBack(place: GridPlace): void {
    const ref = this.ref(place)
    if (ref) this.put(place, plainCell(ref))
  }

  focused(place: GridPlace): void {
    this.#at = place
    this.point(place.lane)
  }

  /** Link a lane with the connector; null lets go. */
  point(lane: number | null): void {
    this.#props.hover = lane === null ? null : (LANES[lane] ?? null)
  }

  /** Keys on the grid. `openMenu` opens the menu of cells at the focused one. */
  onkeydown(event: KeyboardEvent, openMenu: (place: GridPlace) => void): void {
    const action = actionOf(event)
    const { drawing } = this
    if (!action || !drawing) return
    const last = drawing.columns.length - 1
    const { turned } = drawing
    switch (action.kind) {
      case 'move':
        this.#focus(step(this.at, action.right, action.down, last + 1, turned))
        break
      case 'row-start':
        this.#focus(turned ? { ...this.at, lane: 0 } : { ...this.at, column: 0 })
        break
      case 'row-end':
        this.#focus(turned ? { ...this.at, lane: LANES.length - 1 } : { ...this.at, column: last })
        break
      case 'first':
        this.#focus({ lane: 0, column: 0 })
        break
      case 'last':
        this.#focus({ lane: LANES.length - 1, column: last })
        break
      case 'put':
        this.put(this.at, action.cell)
        break
      case 'put-back':
        this.putBack(this.at)
        break
      case 'menu':
        openMenu(this.at)
        break
      case 'leave':
        this.element(this.at)?.blur()
        this.#props.onleave?.()
    }
    event.preventDefault()
  }

  #focus(place: GridPlace): void {
    this.#at = place
    this.element(place)?.focus()
  }

  element({ lane, column }: GridPlace): HTMLElement | null {
    return this.#root?.querySelector(`[data-lane="${lane}"][data-column="${column}"]`) ?? null
  }

  /* A cell is carried with pointer events: native drag and drop knows no fingers. */

  lift(cell: Cell, event: PointerEvent): void {
    if (event.button !== 0 || !(event.currentTarget instanceof HTMLElement)) return
    event.preventDefault()
    event.currentTarget.setPointerCapture(event.pointerId)
    this.drag = { cell, x: event.clientX, y: event.clientY, over: null }
  }

  carry(event: PointerEvent): void {
    if (!this.drag) return
    const { clientX: x, clientY: y } = event
    this.drag = { ...this.drag, x, y, over: this.#placeUnder(x, y) }
  }

  drop(): void {
    const { drag } = this
    this.drag = null
    if (!drag?.over) return
    this.put(drag.over, drag.cell)
    this.#focus(drag.over)
  }

  letGo(): void {
    this.drag = null
  }

  #placeUnder(x: number, y: number): GridPlace | null {
    const element = document.elementFromPoint(x, y)
    if (!(element instanceof HTMLElement) || !this.#root?.contains(element)) return null
    const { lane, column } = element.dataset
    if (lane === undefined || column === undefined || lane === '0') return null
    return { lane: Number(lane), column: Number(column) }
  }
}
