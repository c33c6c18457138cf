import { expect, it } from 'vitest'
import { CONTROLS } from '../../../src/pad/controls.ts'
import { DRAWN_CONTROLS, PAD_VIEW } from '../../../src/ui/pad/pad-drawing.ts'
import { KEYBOARD_PAD } from '../../../src/ui/pad/keyboard-pad.ts'

it('draws every control but the extras, once', () => {
  const drawn = DRAWN_CONTROLS.map(({ control }) => control)
  expect([...drawn].sort()).toEqual(CONTROLS.filter((control) => !control.startsWith('extra-')).sort())
})

it('keeps labels within the drawing', () => {
  for (const { label } of DRAWN_CONTROLS) {
    if (!label) continue
    expect(label.x > 0 && label.x < PAD_VIEW.width && label.y > 0 && label.y < PAD_VIEW.height).toBe(true)
  }
})

it('gives the keyboard twelve controls, each once', () => {
  expect(new Set(KEYBOARD_PAD.values()).size).toBe(12)
})
