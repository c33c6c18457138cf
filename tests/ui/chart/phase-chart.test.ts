import { describe, expect, test } from 'vitest'
import type { Cell, Chart } from '../../../src/port/chart.ts'
import { SIX_BUTTON_CHART } from '../../../src/port/family.ts'
import { columnsOf } from '../../../src/ui/chart/chart-columns.ts'
import type { CellRef } from '../../../src/profile/chart-commands.ts'
import { PhaseChartState, refAt, step } from '../../../src/ui/chart/phase-chart.svelte.ts'
import { readingOf } from './examples.ts'

function stateOf(locked: boolean, chart: Chart = SIX_BUTTON_CHART) {
  const edits: [CellRef, Cell][] = []
  let left = 0
  const props = {
    chart,
    reading: readingOf(5, 'high', { sampleIndex: 5, pins: [1, 2], sees: 'Up and Down' }),
    locked,
    onedit: (ref: CellRef, cell: Cell) => void edits.push([ref, cell]),
    onleave: () => void left++,
    hover: null,
  }
  const state = new PhaseChartState(props)
  state.width = 912
  return { state, edits, props, left: () => left }
}

const key = (name: string) => {
  let prevented = false
  const event = {
    key: name,
    ctrlKey: false,
    metaKey: false,
    altKey: false,
    target: null,
    preventDefault: () => {
      prevented = true
    },
  }
  return { event: event as unknown as KeyboardEvent, prevented: () => prevented }
}

describe('places', () => {
  const columns = columnsOf(SIX_BUTTON_CHART, readingOf(6))

  test('a place stands for a cell of the chart, and every drawn repeat for the same one', () => {
    expect(refAt(columns, { lane: 1, column: 5 })).toEqual({ cycle: 2, level: 'low', pin: 1 })
    expect(refAt(columns, { lane: 6, column: 8 })).toEqual({ cycle: 'after', level: 'high', pin: 9 })
    expect(refAt(columns, { lane: 6, column: 10 })).toEqual({ cycle: 'after', level: 'high', pin: 9 })
  })

  test('select carries no cell', () => {
    expect(refAt(columns, { lane: 0, column: 0 })).toBeUndefined()
  })

  test('a step ends at the edge, and turns with the paper', () => {
    expect(step({ lane: 1, column: 0 }, -1, 0, 10, false)).toEqual({ lane: 1, column: 0 })
    expect(step({ lane: 1, column: 0 }, 1, 0, 10, false)).toEqual({ lane: 1, column: 1 })
    expect(step({ lane: 1, column: 0 }, 1, 0, 10, true)).toEqual({ lane: 2, column: 0 })
    expect(step({ lane: 6, column: 9 }, 1, 1, 10, true)).toEqual({ lane: 6, column: 9 })
  })
})

describe('words of a cell', () => {
  const { state } = stateOf(true)

  test('say cycle, phase, pin and cell, who samples, and what was misread', () => {
    expect(state.label({ lane: 3, column: 4 })).toBe(
      'cycle 3 high, pin 3: Left, Copper Kite Rally samples here',
    )
    expect(state.label({ lane: 1, column: 5 })).toBe(
      'cycle 3 low, pin 1: low, Copper Kite Rally samples here, misread, sees Up and Down',
    )
    expect(state.label({ lane: 0, column: 8 })).toBe(
      'afterwards high, select: high, Copper Kite Rally samples here',
    )
  })
})

describe('setting cells', () => {
  test('a letter puts an input, Delete the three-button cell', () => {
    const { state, edits } = stateOf(false)
    state.focused({ lane: 1, column: 5 })
    const letter = key('x')
    state.onkeydown(letter.event, () => expect.unreachable())
    state.onkeydown(key('Delete').event, () => expect.unreachable())
    expect(edits).toEqual([
      [{ cycle: 2, level: 'low', pin: 1 }, 'x'],
      [{ cycle: 2, level: 'low', pin: 1 }, 'up'],
    ])
    expect(letter.prevented()).toBe(true)
  })

  test('what stands there already is no edit', () => {
    const { state, edits } = stateOf(false)
    state.put({ lane: 1, column: 5 }, 'low')
    expect(edits).toEqual([])
  })

  test('a locked chart keeps its cells and says why', () => {
    const { state, edits } = stateOf(true)
    state.focused({ lane: 1, column: 5 })
    state.onkeydown(key('x').event, () => expect.unreachable())
    expect(edits).toEqual([])
    expect(state.said).toContain('locked')
  })

  test('select takes nothing', () => {
    const { state, edits } = stateOf(false)
    state.put({ lane: 0, column: 0 }, 'a')
    expect(edits).toEqual([])
  })

  test('Enter asks for the menu at the focused cell; Escape leaves', () => {
    const { state, left } = stateOf(false)
    state.focused({ lane: 2, column: 3 })
    const asked: unknown[] = []
    state.onkeydown(key('Enter').event, (place) => asked.push(place))
    state.onkeydown(key('Escape').event, () => expect.unreachable())
    expect(asked).toEqual([{ lane: 2, column: 3 }])
    expect(left()).toBe(1)
  })

  test('keys that are not ours go to the browser', () => {
    const { state } = stateOf(false)
    const tab = key('Tab')
    state.onkeydown(tab.event, () => expect.unreachable())
    expect(tab.prevented()).toBe(false)
  })
})

test('focus and pointer link the lane with its contact', () => {
  const { state, props } = stateOf(true)
  state.focused({ lane: 6, column: 0 })
  expect(props.hover).toBe(9)
  state.point(0)
  expect(props.hover).toBe(7)
  state.point(null)
  expect(props.hover).toBe(null)
})
