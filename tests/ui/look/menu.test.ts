import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { menuMove, placeBeside } from '../../../src/ui/look/menu.svelte.ts'

describe('keys in a menu', () => {
  test('one column goes down and around', () => {
    expect(menuMove('ArrowDown', 0, 3, 1)).toBe(1)
    expect(menuMove('ArrowDown', 2, 3, 1)).toBe(0)
    expect(menuMove('ArrowUp', 0, 3, 1)).toBe(2)
    expect(menuMove('ArrowRight', 0, 3, 1)).toBeUndefined()
  })

  test('two columns keep to theirs', () => {
    expect(menuMove('ArrowDown', 1, 14, 2)).toBe(3)
    expect(menuMove('ArrowDown', 13, 14, 2)).toBe(1)
    expect(menuMove('ArrowUp', 0, 14, 2)).toBe(12)
    expect(menuMove('ArrowRight', 13, 14, 2)).toBe(0)
    expect(menuMove('End', 0, 14, 2)).toBe(13)
  })

  test('never leave the menu, however many items', () => {
    const keys = fc.constantFrom('ArrowUp', 'ArrowDown', 'ArrowLeft', 'ArrowRight', 'Home', 'End')
    fc.assert(
      fc.property(
        keys,
        fc.nat(30),
        fc.integer({ min: 1, max: 31 }),
        fc.integer({ min: 1, max: 4 }),
        (key, at, count, columns) => {
          const to = menuMove(key, at % count, count, columns)
          if (to === undefined) return
          expect(to).toBeGreaterThanOrEqual(0)
          expect(to).toBeLessThan(count)
        },
      ),
    )
  })

  test('an empty menu moves nothing', () => {
    expect(menuMove('ArrowDown', 0, 0, 1)).toBeUndefined()
  })
})

test('a menu stays in the window and off what it belongs to, where there is room for both', () => {
  const room = { width: 390, height: 844 }
  const size = { width: 200, height: 226 }
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 380 }), fc.integer({ min: 0, max: 800 }), (left, top) => {
      const anchor = { left, top, bottom: top + 42 }
      const at = placeBeside(anchor, size, room)
      expect(at.left).toBeGreaterThanOrEqual(0)
      expect(at.left + size.width).toBeLessThanOrEqual(room.width)
      expect(at.top).toBeGreaterThanOrEqual(0)
      expect(at.top + size.height).toBeLessThanOrEqual(room.height)
      expect(at.top >= anchor.bottom || at.top + size.height <= anchor.top).toBe(true)
    }),
  )
})
