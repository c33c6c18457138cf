import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readJson } from '../../../src/document/document.ts'
import { CONTROLS, controlsIn } from '../../../src/pad/controls.ts'
import type { Control } from '../../../src/pad/controls.ts'
import { PadReader } from '../../../src/pad/extract.ts'
import { LAYOUT_KIND } from '../../../src/pad/layout/schema.ts'
import type { Extractor, Field, Layout } from '../../../src/pad/layout/schema.ts'
import { learnedLayout } from '../../../src/pad/learn/layout.ts'
import type { LearnedLayout } from '../../../src/pad/learn/layout.ts'
import { Player, has } from './player.ts'
import { IDLE, PadElectronics, randomPad } from './simulated-pad.ts'
import type { Hands, SimulatedPad } from './simulated-pad.ts'
import { draws } from '../../draws.ts'

const PAD = { via: 'hid', vendorId: 1, productId: 2, descriptorCrc32: null } as const

const outcome = (player: Player): LearnedLayout & { readonly layout: Layout } => {
  const { layout, remarks } = learnedLayout(player.learner.learned, 'Learned', PAD)
  if (layout === null) throw new Error('nothing was learned')
  return { layout, remarks }
}

/** What a layout reads from this pad, with neither noise nor drift. */
function reads(pad: SimulatedPad, layout: Layout, ...hands: readonly Hands[]) {
  const electronics = new PadElectronics({ ...pad, noise: 0, drift: 0, bounceMs: 0 }, 1)
  const reader = new PadReader(layout)
  hands.forEach((one, k) => {
    for (const number of pad.numbers) reader.reportData(number, electronics.data(number, one, 1000 * k))
  })
  return reader.state
}

const key = ({ report, bit, bits, signed }: Field): string => `${report}:${bit}+${bits}${signed ? 's' : ''}`
const found = (layout: Layout, matches: (one: Extractor) => boolean): string[] =>
  layout.extractors.filter(matches).map(({ field }) => key(field))

/** Everything that a learned layout must have in common with the pad itself. */
function expectTruth(
  pad: SimulatedPad,
  { layout, remarks }: LearnedLayout & { readonly layout: Layout },
): void {
  expect(readJson(LAYOUT_KIND, layout)).toEqual({ ok: true, value: layout })
  expect(controlsIn(reads(pad, layout, IDLE).controls)).toEqual([])

  for (const control of CONTROLS) {
    if (!has(pad, { kind: 'press', control })) continue
    const full: Hands = { ...IDLE, levels: { [control]: 1 } }
    expect(controlsIn(reads(pad, layout, IDLE, full).controls)).toEqual([control])
    expect(controlsIn(reads(pad, layout, full, IDLE).controls)).toEqual([])
  }

  for (const part of pad.parts) {
    const here = key(part.field)
    const of = (control: Control) => found(layout, (one) => 'control' in one && one.control === control)
    switch (part.is) {
      case 'bit':
      case 'analogue': {
        const places = pad.parts.filter((other) => 'control' in other && other.control === part.control)
        if (places.length === 1) expect(of(part.control)).toEqual([here])
        else {
          expect(places.map(({ field }) => key(field))).toContain(of(part.control)[0])
          expect(remarks).toContainEqual(
            expect.objectContaining({ kind: 'two-places', control: part.control }),
          )
        }
        break
      }
      case 'hat': {
        const hats = layout.extractors.filter(({ kind }) => kind === 'hat')
        const { field, first, positions } = part
        expect(hats).toEqual([{ kind: 'hat', cross: 'dpad', field, first, step: 1, positions }])
        break
      }
      case 'cross-axis':
        expect([...of(part.minus), ...of(part.plus)]).toEqual([here, here])
        break
      case 'stick': {
        const axis = layout.extractors.find(
          (one) => one.kind === 'axis' && one.stick === part.stick && one.axis === part.axis,
        )
        expect(axis && key(axis.field)).toBe(here)
        for (const end of [-1, 1]) {
          const state = reads(pad, layout, { ...IDLE, [part.stick]: { x: 0, y: 0, [part.axis]: end } })
          expect(state[part.stick][part.axis] * end).toBeGreaterThan(0.93 * 32767)
        }
        expect(Math.abs(reads(pad, layout, IDLE)[part.stick][part.axis])).toBeLessThan(0.09 * 32767)
        break
      }
      case 'array':
        for (const control of part.controls) expect(of(control)).toEqual([here])
        break
      default:
        // Counters, motion and padding are no controls.
        expect(found(layout, ({ field }) => key(field) === here)).toEqual([])
    }
  }
}

const learns = (opaque: boolean) => (seed: number) => {
  const pad = randomPad(seed, opaque)
  const player = new Player(pad, seed)
  player.play()
  expect(player.learner.view.phase).toBe('done')
  expectTruth(pad, outcome(player))
}

describe('a pad that was never seen', () => {
  // In parts, so that each is short.
  it.each(['first', 'second', 'third'])(
    'is learned from its descriptor, exactly as it is (%s hundred)',
    () => {
      fc.assert(fc.property(fc.nat(0xffff_ffff), learns(false)), { numRuns: draws(100) })
    },
  )

  it('is learned where the descriptor says nothing', () => {
    fc.assert(fc.property(fc.nat(0xffff_ffff), learns(true)), { numRuns: 30 })
  })
})
