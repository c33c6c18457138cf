import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'

const css = readFileSync(new URL('../../../src/ui/look/tokens.css', import.meta.url), 'utf8')

/** Both colours of a token: on paper, and on the blueprint. */
function token(name: string): [paper: string, blueprint: string] {
  const found = new RegExp(`--${name}: light-dark\\((#[0-9a-f]{6}), (#[0-9a-f]{6})\\)`).exec(css)
  if (!found?.[1] || !found[2]) throw new Error(`tokens.css has no pair for --${name}`)
  return [found[1], found[2]]
}

/** W3C, WCAG 2.2, definition of relative luminance. */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const c = parseInt(hex.slice(at, at + 2), 16) / 255
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4
  })
  return 0.2126 * (r ?? 0) + 0.7152 * (g ?? 0) + 0.0722 * (b ?? 0)
}

/** W3C, WCAG 2.2, definition of contrast ratio. */
function contrast(p: string, q: string): number {
  const [dark, light] = [luminance(p), luminance(q)].toSorted((a, b) => a - b)
  return ((light ?? 0) + 0.05) / ((dark ?? 0) + 0.05)
}

test('the formula gives the ends that WCAG states: 21 to 1, and 1 to 1', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21)
  expect(contrast('#777777', '#777777')).toBe(1)
})

// WCAG 2.2: 1.4.3 asks 4.5 to 1 of text, 1.4.11 asks 3 to 1 of what must be seen to understand a drawing.
describe.each([
  ['paper', 0],
  ['blueprint', 1],
] as const)('%s', (_, sheet) => {
  test.each([
    ['ink', 'desk'],
    ['ink', 'sheet'],
    ['ink', 'shade'],
    ['ink', 'signal-tint'],
    ['ink-soft', 'desk'],
    ['ink-soft', 'sheet'],
    ['ink-soft', 'shade'],
    ['signal', 'desk'],
    ['signal', 'sheet'],
    ['signal', 'signal-tint'],
  ])('text: %s on %s', (ink, ground) => {
    expect(contrast(token(ink)[sheet], token(ground)[sheet])).toBeGreaterThanOrEqual(4.5)
  })

  test('lines of fields and samples: rule on sheet', () => {
    expect(contrast(token('rule')[sheet], token('sheet')[sheet])).toBeGreaterThanOrEqual(3)
  })
})
