import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { controlMask, controlsIn } from '../../src/pad/controls.ts'
import { AXIS_FULL, PadReader, axisPosition, fieldValue } from '../../src/pad/extract.ts'
import type { PadState } from '../../src/pad/extract.ts'
import type { Extractor } from '../../src/pad/layout/schema.ts'
import { LAYOUT_KIND } from '../../src/pad/layout/schema.ts'
import { readJson } from '../../src/document/document.ts'
import { arbitraryLayout, arbitraryReport, arbitraryWideHat } from './arbitrary-layout.ts'
import { NaivePad } from './naive-extract.ts'
import type { NaiveState } from './naive-extract.ts'
import { draws } from '../draws.ts'

const asNaive = (state: PadState, axes: Readonly<Record<string, number>>): NaiveState => {
  const { left, right } = state
  const all: Record<string, number> = {
    'left x': left.x,
    'left y': left.y,
    'right x': right.x,
    'right y': right.y,
  }
  return {
    held: controlsIn(state.controls),
    axes: Object.fromEntries(Object.keys(axes).map((name) => [name, all[name] ?? 0])),
  }
}

const arbLayoutAndReports = arbitraryLayout().chain((layout) =>
  fc.tuple(fc.constant(layout), fc.array(arbitraryReport(layout), { minLength: 1, maxLength: 12 })),
)

describe('random layouts', () => {
  it('are sound', () => {
    fc.assert(
      fc.property(arbitraryLayout(), (layout) => {
        expect(readJson(LAYOUT_KIND, layout)).toEqual({ ok: true, value: layout })
      }),
      { numRuns: draws(300) },
    )
  })

  it('read random reports as the page of the image says, word by word', () => {
    const met = new Set<string>()
    fc.assert(
      fc.property(arbLayoutAndReports, ([layout, reports]) => {
        const reader = new PadReader(layout)
        const naive = new NaivePad(layout)
        for (const bytes of reports) {
          const wanted = naive.report(bytes)
          expect(asNaive(reader.report(bytes), wanted.axes)).toEqual(wanted)
          layout.extractors.forEach(({ kind }) => met.add(kind))
          wanted.held.forEach((control) => met.add(control))
        }
      }),
      { numRuns: draws(2000) },
    )
    expect(met.size).toBe(4 + 32)
  })

  it('read the same where number and data come apart', () => {
    fc.assert(
      fc.property(arbLayoutAndReports, ([layout, reports]) => {
        const joined = new PadReader(layout)
        const apart = new PadReader(layout)
        const numbered = layout.extractors.some(({ field }) => field.report > 0)
        for (const bytes of reports.filter(({ length }) => length > 0)) {
          const state = numbered
            ? apart.reportData(bytes[0] ?? 0, bytes.subarray(1))
            : apart.reportData(0, bytes)
          expect(joined.report(bytes)).toEqual(state)
        }
      }),
      { numRuns: draws(200) },
    )
  })
})

describe('a field', () => {
  it('is what DataView reads, wherever DataView can', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 8, maxLength: 8 }), fc.nat({ max: 4 }), (data, at) => {
        const view = new DataView(data.buffer, data.byteOffset)
        expect(fieldValue(data, at * 8, 8, false)).toBe(view.getUint8(at))
        expect(fieldValue(data, at * 8, 8, true)).toBe(view.getInt8(at))
        expect(fieldValue(data, at * 8, 16, false)).toBe(view.getUint16(at, true))
        expect(fieldValue(data, at * 8, 16, true)).toBe(view.getInt16(at, true))
        expect(fieldValue(data, at * 8, 32, true)).toBe(view.getInt32(at, true))
      }),
    )
  })
})

describe('an axis', () => {
  const arbAxis = fc
    .uniqueArray(fc.integer({ min: -0x8000_0000, max: 0x7fff_ffff }), { minLength: 3, maxLength: 3 })
    .chain((values) => {
      const [low = 0, centre = 1, high = 2] = values.toSorted((a, b) => a - b)
      return fc.constantFrom({ low, centre, high }, { low: high, centre, high: low })
    })

  it('has its ends and its centre exactly, and stays beyond the ends', () => {
    fc.assert(
      fc.property(arbAxis, ({ low, centre, high }) => {
        expect(axisPosition(low, low, centre, high)).toBe(-AXIS_FULL)
        expect(axisPosition(centre, low, centre, high)).toBe(0)
        expect(axisPosition(high, low, centre, high)).toBe(AXIS_FULL)
        const beyond = high > low ? 0x7fff_ffff : -0x8000_0000
        expect(axisPosition(beyond, low, centre, high)).toBe(AXIS_FULL)
      }),
    )
  })

  it('never turns back on the way from low to high', () => {
    fc.assert(
      fc.property(
        arbAxis,
        fc.nat(1000).map((k) => k / 1000),
        fc.nat(1000),
        (axis, at, step) => {
          const { low, centre, high } = axis
          const way = (part: number) => Math.round(low + (high - low) * part)
          const here = way(at)
          const there = here + (high > low ? step : -step)
          expect(axisPosition(there, low, centre, high)).toBeGreaterThanOrEqual(
            axisPosition(here, low, centre, high),
          )
        },
      ),
    )
  })

  it('is off the straight line by no more than the steps of its fifteen bits', () => {
    fc.assert(
      fc.property(
        arbAxis,
        fc.nat(1000).map((k) => k / 1000),
        ({ low, centre, high }, part) => {
          const value = Math.round(centre + (high - centre) * part)
          const exact = ((value - centre) / (high - centre)) * AXIS_FULL
          expect(Math.abs(axisPosition(value, low, centre, high) - exact)).toBeLessThanOrEqual(3)
        },
      ),
    )
  })
})

describe('a report', () => {
  const layout = (...extractors: Extractor[]) => ({ extractors })
  const threshold = (press: number, release: number): Extractor => ({
    kind: 'threshold',
    control: 'face-south',
    field: { report: 0, bit: 0, bits: 8, signed: false },
    press,
    release,
  })
  const holdsAlong = (one: Extractor, values: readonly number[]): boolean[] => {
    const reader = new PadReader(layout(one))
    return values.map((value) => reader.report(Uint8Array.of(value)).controls !== 0)
  }

  it('holds from press on and lets go at release, either way round', () => {
    const rising = [0, 128, 127, 103, 102, 127, 128]
    expect(holdsAlong(threshold(128, 102), rising)).toEqual([false, true, true, true, false, false, true])
    const falling = rising.map((value) => 255 - value)
    expect(holdsAlong(threshold(127, 153), falling)).toEqual([false, true, true, true, false, false, true])
    expect(holdsAlong(threshold(5, 5), [4, 5, 4])).toEqual([false, true, false])
  })

  it('says nothing of what it does not carry', () => {
    const late: Extractor = { ...threshold(128, 102), field: { report: 0, bit: 24, bits: 8, signed: false } }
    const reader = new PadReader(layout(late))
    reader.report(Uint8Array.of(0, 0, 0, 255))
    expect(controlsIn(reader.report(Uint8Array.of(0, 0, 0)).controls)).toEqual(['face-south'])
    expect(controlsIn(reader.report(Uint8Array.of(0, 0, 0, 0)).controls)).toEqual([])
  })

  // Worked out by hand from IMAGE.md: each position has the values from first + k · step on.
  it('reads positions that lie further apart', () => {
    const hat = { kind: 'hat', cross: 'stick-left', positions: 4 } as const
    const degrees = { report: 0, bit: 0, bits: 16, signed: true }
    const reader = new PadReader(layout({ ...hat, field: degrees, first: -45, step: 90 }))
    const held = (value: number) =>
      controlsIn(reader.report(Uint8Array.of(value, value >> 8)).controls).map((control) => control.slice(11))
    expect([-46, -45, 0, 44, 45, 134, 135, 224, 225, 314, 315, 32767].map((value) => held(value)[0])).toEqual(
      [undefined, 'up', 'up', 'up', 'right', 'right', 'down', 'down', 'left', 'left', undefined, undefined],
    )
  })

  it('reads every value of 16 bits as the page says, at any step', () => {
    fc.assert(
      fc.property(arbitraryWideHat, (hat) => {
        const reader = new PadReader({ extractors: [hat] })
        const naive = new NaivePad({ extractors: [hat] })
        for (let value = 0; value < 0x10000; value++) {
          const bytes = Uint8Array.of(value, value >> 8)
          const held = naive.report(bytes).held
          if (controlMask(held) !== reader.report(bytes).controls)
            expect([value, controlsIn(reader.state.controls)]).toEqual([value, held])
        }
      }),
      { numRuns: 3 },
    )
  })

  // Source: HID 1.11 section 6.2.2.5 (Input, "Null state") and Usage Tables 1.12 section 4.3, hat switch: clockwise from up.
  it('turns a hat into the directions that it points to', () => {
    const hat: Extractor = {
      kind: 'hat',
      cross: 'dpad',
      field: { report: 0, bit: 0, bits: 4, signed: false },
      first: 0,
      step: 1,
      positions: 8,
    }
    const reader = new PadReader(layout(hat))
    const held = (value: number) =>
      controlsIn(reader.report(Uint8Array.of(value)).controls).map((control) => control.slice('dpad-'.length))
    expect([0, 1, 2, 3, 4, 5, 6, 7, 8, 15].map(held)).toEqual([
      ['up'],
      ['up', 'right'],
      ['right'],
      ['down', 'right'],
      ['down'],
      ['down', 'left'],
      ['left'],
      ['up', 'left'],
      [],
      [],
    ])
  })
})
