import { describe, expect, test } from 'vitest'
import { CELLS } from '../../../src/port/chart.ts'
import { CELL_KEYS } from '../../../src/ui/chart/cell-words.ts'
import { actionOf } from '../../../src/ui/chart/chart-keys.ts'

const press = (key: string, held: Partial<Record<'ctrlKey' | 'metaKey' | 'altKey', boolean>> = {}) =>
  actionOf({ key, ctrlKey: false, metaKey: false, altKey: false, ...held })

describe('keys on a cell', () => {
  test('every cell has a key of its own, in either case', () => {
    expect(new Set(Object.values(CELL_KEYS)).size).toBe(CELLS.length)
    for (const cell of CELLS) {
      expect(press(CELL_KEYS[cell])).toEqual({ kind: 'put', cell })
      expect(press(CELL_KEYS[cell].toLowerCase())).toEqual({ kind: 'put', cell })
    }
  })

  test('low is a zero or a dash', () => {
    for (const key of ['0', '-', '–']) expect(press(key)).toEqual({ kind: 'put', cell: 'low' })
    expect(press('1')).toEqual({ kind: 'put', cell: 'high' })
  })

  // W3C, ARIA Authoring Practices Guide, grid pattern: arrows, Home, End, Ctrl+Home, Ctrl+End.
  test('moves as the grid pattern asks', () => {
    expect(press('ArrowRight')).toEqual({ kind: 'move', right: 1, down: 0 })
    expect(press('ArrowUp')).toEqual({ kind: 'move', right: 0, down: -1 })
    expect(press('Home')).toEqual({ kind: 'row-start' })
    expect(press('End')).toEqual({ kind: 'row-end' })
    expect(press('Home', { ctrlKey: true })).toEqual({ kind: 'first' })
    expect(press('End', { ctrlKey: true })).toEqual({ kind: 'last' })
  })

  test('undo, copy and the browser’s own keys are left alone', () => {
    for (const key of ['z', 'c', 'x', 'a']) {
      expect(press(key, { ctrlKey: true })).toBeUndefined()
      expect(press(key, { metaKey: true })).toBeUndefined()
    }
    expect(press('ArrowLeft', { altKey: true })).toBeUndefined()
    for (const key of ['Tab', 'PageDown', 'F5', 'q', '2', 'Dead']) expect(press(key)).toBeUndefined()
  })
})
