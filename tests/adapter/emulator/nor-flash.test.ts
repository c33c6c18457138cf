import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { FLASH_BYTES, NOR_TIMING, NorFlash } from '../../../src/adapter/emulator/nor-flash.ts'
import { Timeline } from '../../../src/adapter/emulator/timeline.ts'

const at = (offset: number): number[] => [offset >> 16, (offset >> 8) & 0xff, offset & 0xff]

/** A flash with a hand on its bus. */
class Bench {
  readonly time = new Timeline()
  readonly flash: NorFlash

  constructor(content: Uint8Array | NorFlash = new Uint8Array()) {
    this.flash = new NorFlash(this.time, content)
  }

  command(...bytes: number[]): number[] {
    this.flash.select()
    const answers = bytes.map((byte) => this.flash.transfer(byte))
    this.flash.deselect()
    return answers
  }

  read(offset: number, count: number): number[] {
    return this.command(0x03, ...at(offset), ...Array<number>(count).fill(0)).slice(4)
  }

  get status(): number {
    return this.command(0x05, 0)[1] as number
  }

  pass(ns: number): void {
    this.time.advanceTo(this.time.nanos + ns)
  }

  write(...bytes: number[]): void {
    this.command(0x06)
    this.command(...bytes)
  }
}

/** Rules of 25-series serial NOR flash, as all data sheets of such parts have them; from memory. */
describe('the serial NOR flash', () => {
  it('programs ones into zeros and never back, after write enable only', () => {
    const bench = new Bench()
    bench.command(0x02, ...at(0x1000), 0xf0)
    expect(bench.flash.operations).toEqual([])
    bench.write(0x02, ...at(0x1000), 0xf0)
    expect(bench.status & 1).toBe(1)
    expect(bench.read(0x1000, 1)).toEqual([0xff])
    bench.pass(NOR_TIMING.pageProgramNs)
    expect(bench.status).toBe(0)
    expect(bench.read(0x1000, 1)).toEqual([0xf0])
    bench.write(0x02, ...at(0x1000), 0x3c)
    bench.pass(NOR_TIMING.pageProgramNs)
    expect(bench.read(0x1000, 1)).toEqual([0x30])
  })

  it('erases a sector, and hears nothing but a question for its status meanwhile', () => {
    const bench = new Bench(new Uint8Array(0x3000))
    bench.write(0x20, ...at(0x1234))
    bench.write(0x02, ...at(0x2000), 0)
    expect(bench.flash.operations).toEqual([{ kind: 'erase', offset: 0x1000, bytes: 4096 }])
    bench.pass(NOR_TIMING.sectorEraseNs - 8)
    expect(bench.status).toBe(3)
    bench.pass(8)
    expect(bench.status).toBe(0)
    expect(bench.flash.bytes.subarray(0x0fff, 0x2001)).toEqual(
      Uint8Array.from([0, ...Array<number>(4096).fill(0xff), 0]),
    )
    expect(bench.flash.eraseCounts[1]).toBe(1)
  })

  it('stays in its page', () => {
    const bench = new Bench()
    bench.write(0x02, ...at(0x10fe), 1, 2, 3, 4)
    bench.pass(NOR_TIMING.pageProgramNs)
    expect(bench.read(0x10fe, 2)).toEqual([1, 2])
    expect(bench.read(0x1000, 2)).toEqual([3, 4])
    // Of more than 256 the last 256 count.
    bench.write(0x02, ...at(0x2000), ...Array.from({ length: 258 }, (_, k) => k & 0x7f))
    bench.pass(NOR_TIMING.pageProgramNs)
    expect(bench.read(0x2000, 3)).toEqual([0, 1, 2])
    expect(bench.read(0x20ff, 1)).toEqual([127])
  })

  it('forgets write enable with each operation, and at command', () => {
    const bench = new Bench()
    bench.write(0x02, ...at(0), 0)
    bench.pass(NOR_TIMING.pageProgramNs)
    bench.command(0x02, ...at(1), 0)
    bench.command(0x06)
    bench.command(0x04)
    bench.command(0x02, ...at(2), 0)
    expect(bench.flash.operations).toHaveLength(1)
  })

  it('is left somewhere between before and after when the power goes', () => {
    const fraction = fc.double({ min: 0, max: 1, noNaN: true })
    fc.assert(
      fc.property(fc.constantFrom('erase', 'program'), fraction, fc.nat(3), (kind, part, before) => {
        const bench = new Bench(Uint8Array.from({ length: 4096 }, () => 0x5a))
        let cuts = 0
        bench.flash.onPowerCut = () => (cuts += 1)
        bench.flash.cutPowerAt({ operation: before, fraction: part })
        for (let k = 0; k < before; k += 1) {
          bench.write(0x02, ...at(0x10000 + k), 0)
          bench.pass(NOR_TIMING.pageProgramNs)
        }
        expect(cuts).toBe(0)
        if (kind === 'erase') bench.write(0x20, ...at(0))
        else bench.write(0x02, ...at(0), ...Array<number>(256).fill(0x0f))
        bench.pass(NOR_TIMING.sectorEraseNs)
        expect(cuts).toBe(1)
        const page = bench.flash.bytes.subarray(0, 256)
        const [whole, untouched] = kind === 'erase' ? [0xff, 0x5a] : [0x0a, 0x5a]
        const between = (byte: number): boolean =>
          (byte & whole & untouched) === (whole & untouched) && (byte & ~(whole | untouched)) === 0
        expect(page.every(between)).toBe(true)
        if (part === 0) expect(page.every((byte) => byte === untouched)).toBe(true)
        if (part === 1) expect(page.every((byte) => byte === whole)).toBe(true)
        // Without power it answers nothing, and the next to have it finds things as they were left.
        expect(bench.read(0, 1)).toEqual([0xff])
        const next = new Bench(bench.flash)
        expect(Buffer.compare(next.flash.bytes, bench.flash.bytes)).toBe(0)
        expect(next.status).toBe(0)
      }),
      { numRuns: 60 },
    )
  })

  it('leaves an erase half done when the power goes unannounced', () => {
    const bench = new Bench(new Uint8Array(4096))
    let cuts = 0
    bench.flash.onPowerCut = () => (cuts += 1)
    bench.write(0x20, ...at(0))
    bench.pass(NOR_TIMING.sectorEraseNs / 2)
    bench.flash.losePower()
    bench.flash.losePower()
    expect(cuts).toBe(1)
    const ones = bench.flash.bytes
      .subarray(0, 4096)
      .reduce((all, byte) => all + [0, 1, 2, 3, 4, 5, 6, 7].filter((bit) => (byte >> bit) & 1).length, 0)
    expect(ones / 32768).toBeGreaterThan(0.4)
    expect(ones / 32768).toBeLessThan(0.6)
  })

  it('refuses more than it holds, and a cut in the past', () => {
    expect(() => new Bench(new Uint8Array(FLASH_BYTES + 1))).toThrow(RangeError)
    const bench = new Bench()
    bench.write(0x02, ...at(0), 0)
    expect(() => bench.flash.cutPowerAt({ operation: 0, fraction: 0 })).toThrow(RangeError)
  })
})
