import { describe, expect, it } from 'vitest'
import { PioBench, REG, STRIDE, execctrl, pinctrl, pio } from './pio-bench.ts'

/** A square wave on GPIO 0 by the program given; its first rising edges. */
function risesOf(program: number[], clkdiv: number, count: number): number[] {
  const bench = new PioBench()
  bench.give(0, 0)
  bench.load(0, program)
  bench.write(0, REG.SM0_CLKDIV, clkdiv)
  bench.write(0, REG.SM0_EXECCTRL, execctrl({ wrapTop: program.length - 1 }))
  bench.write(0, REG.SM0_PINCTRL, pinctrl({ setCount: 1 }))
  bench.write(0, REG.SM0_INSTR, pio.set(pio.pinDirections, 1))
  bench.write(0, REG.CTRL, 1)
  while (bench.changes.filter(({ levels }) => levels & 1).length < count) bench.run(64)
  return bench.changes.filter(({ levels }) => levels & 1).map(({ atCycle }) => atCycle)
}

const periods = (rises: readonly number[]): number[] =>
  rises.slice(1).map((at, k) => at - (rises[k] as number))

describe('PIO timing (RP2040 datasheet §3.2, §3.4, §3.5)', () => {
  it('takes one cycle an instruction and as many more as the delay says', () => {
    // §3.2.2: a square wave of set, set with delay [1], jmp: 4 cycles.
    const wave = [pio.set(pio.pins, 1) | pio.delay(1), pio.set(pio.pins, 0), pio.jmp(0)]
    expect(new Set(periods(risesOf(wave, 0x10000, 20)))).toEqual(new Set([4]))
  })

  it('wraps free of charge (§3.5.2)', () => {
    const wave = [pio.set(pio.pins, 1), pio.set(pio.pins, 0)]
    expect(new Set(periods(risesOf(wave, 0x10000, 20)))).toEqual(new Set([2]))
  })

  it('divides the clock by whole numbers and fractions (§3.5.5)', () => {
    const wave = [pio.set(pio.pins, 1), pio.set(pio.pins, 0)]
    expect(new Set(periods(risesOf(wave, 3 << 16, 20)))).toEqual(new Set([6]))
    // 2.5: two machine cycles are five of the system's.
    expect(new Set(periods(risesOf(wave, (2 << 16) | (128 << 8), 20)))).toEqual(new Set([5]))
    // 1.25: 20 machine cycles are 25 of the system's, shared out as evenly as may be.
    const rises = risesOf(wave, (1 << 16) | (64 << 8), 21)
    expect((rises[20] as number) - (rises[0] as number)).toBe(50)
    expect(Math.max(...periods(rises)) - Math.min(...periods(rises))).toBeLessThanOrEqual(1)
  })

  it('lets an edge reach a jump after two flip-flops, and set the pins a cycle later (§3.5.6.3)', () => {
    const bench = new PioBench()
    bench.give(0, 0)
    // The tightest loop: looks at GPIO 8 every cycle.
    bench.load(0, [pio.jmp(2, pio.if.pin), pio.jmp(0), pio.set(pio.pins, 1), pio.jmp(3)])
    bench.write(0, REG.SM0_EXECCTRL, execctrl({ jumpPin: 8, wrapTop: 0, wrapBottom: 0 }))
    bench.write(0, REG.SM0_PINCTRL, pinctrl({ setCount: 1 }))
    bench.write(0, REG.SM0_INSTR, pio.set(pio.pinDirections, 1))
    bench.drive(8, false)
    bench.write(0, REG.CTRL, 1)
    bench.run(1000)
    const edge = bench.fabric.cycle
    bench.drive(8, true)
    bench.run(20)
    expect((bench.changes.at(-1)?.atCycle as number) - edge).toBe(4)
  })

  it('leaves a machine that is switched off alone', () => {
    const bench = new PioBench()
    bench.give(0, 0)
    bench.load(0, [pio.set(pio.pins, 1)])
    bench.write(0, REG.SM0_PINCTRL, pinctrl({ setCount: 1 }))
    bench.write(0, REG.SM0_INSTR, pio.set(pio.pinDirections, 1))
    bench.run(100)
    expect(bench.fabric.gpio.levels & 1).toBe(0)
    expect(bench.read(0, REG.SM0_ADDR)).toBe(0)
  })

  it('drives five pins and one by side-set in the same instant (§3.5.1, §3.5.6)', () => {
    const bench = new PioBench()
    bench.give(0, 2, 3, 4, 5, 6, 7)
    const side = (level: number): number => (0x10 | (level << 3)) << 8
    bench.load(0, [pio.set(pio.pins, 0b10101) | side(1), pio.set(pio.pins, 0b01010) | side(0)])
    bench.write(0, REG.SM0_EXECCTRL, execctrl({ sideEnable: true, wrapTop: 1 }))
    const pins = { sideCount: 2, sideBase: 7, setBase: 2 }
    bench.write(0, REG.SM0_PINCTRL, pinctrl({ ...pins, setCount: 5 }))
    bench.write(0, REG.SM0_INSTR, pio.set(pio.pinDirections, 0b11111))
    bench.write(0, REG.SM0_PINCTRL, pinctrl({ setCount: 1, setBase: 7 }))
    bench.write(0, REG.SM0_INSTR, pio.set(pio.pinDirections, 1))
    bench.write(0, REG.SM0_PINCTRL, pinctrl({ ...pins, setCount: 5 }))
    bench.write(0, REG.CTRL, 1)
    bench.changes.length = 0
    bench.run(8)
    expect(new Set(bench.changes.map(({ levels }) => levels >> 2))).toEqual(new Set([0b110101, 0b001010]))
  })

  it('takes an instruction written to SMx_INSTR in the next cycle, even out of a stall (§3.7)', () => {
    const bench = new PioBench()
    bench.load(0, [pio.pull(), pio.jmp(0), pio.jmp(2)])
    bench.write(0, REG.CTRL, 1)
    bench.run(50)
    expect(bench.read(0, REG.SM0_ADDR)).toBe(0)
    bench.write(0, REG.SM0_INSTR, pio.jmp(2))
    bench.run(1)
    expect(bench.read(0, REG.SM0_ADDR)).toBe(2)
    expect(bench.read(0, REG.FDEBUG) & (1 << 24)).not.toBe(0)
  })

  it('moves words through the FIFOs and tells when they are full and empty (§3.5.4, §3.7)', () => {
    const bench = new PioBench()
    // Gives back each word, its bits turned round.
    bench.load(0, [pio.pull(), pio.mov(pio.isr, pio.osr, 2), pio.push()])
    bench.write(0, REG.SM0_EXECCTRL, execctrl({ wrapTop: 2 }))
    for (const word of [1, 2, 3, 4]) bench.write(0, REG.TXF0, word)
    expect(bench.read(0, REG.FSTAT) & (1 << 16)).not.toBe(0)
    bench.write(0, REG.TXF0, 5)
    expect(bench.read(0, REG.FDEBUG) & (1 << 16)).not.toBe(0)
    bench.write(0, REG.CTRL, 1)
    bench.run(60)
    expect(bench.read(0, REG.FLEVEL) & 0xff).toBe(0x40)
    expect([0, 0, 0, 0].map(() => bench.read(0, REG.RXF0))).toEqual([
      0x80000000, 0x40000000, 0xc0000000, 0x20000000,
    ])
    expect(bench.read(0, REG.FSTAT) & (1 << 8)).not.toBe(0)
  })

  it('starts with an empty output register: the first autopull stalls (§3.5.4)', () => {
    const bench = new PioBench()
    bench.load(0, [pio.out(pio.x, 32), pio.mov(pio.isr, pio.x), pio.push()])
    bench.write(0, REG.SM0_EXECCTRL, execctrl({ wrapTop: 2 }))
    bench.write(0, REG.SM0_SHIFTCTRL, 0x000c0000 | (1 << 17))
    bench.write(0, REG.CTRL, 1)
    bench.run(40)
    expect(bench.read(0, REG.FLEVEL) & 0xf0).toBe(0)
    bench.write(0, REG.TXF0, 0xcafe)
    bench.run(10)
    expect(bench.read(0, REG.RXF0)).toBe(0xcafe)
  })

  it('passes flags between machines (§3.4.9)', () => {
    const bench = new PioBench()
    bench.load(0, [pio.waitIrq(1, 3), pio.mov(pio.isr, pio.null), pio.push(), pio.jmp(3)])
    bench.load(0, [pio.irqSet(3, true), pio.mov(pio.isr, pio.null), pio.push(), pio.jmp(11)], 8)
    bench.write(0, REG.SM0_INSTR + STRIDE, pio.jmp(8))
    bench.write(0, REG.CTRL, 0b01)
    bench.run(30)
    expect(bench.read(0, REG.FLEVEL)).toBe(0)
    bench.write(0, REG.CTRL, 0b11)
    bench.run(30)
    expect(bench.read(0, REG.FLEVEL)).toBe(0x1010)
    expect(bench.read(0, REG.IRQ)).toBe(0)
  })

  it('counts down for 1.5 ms in a handful of executed cycles', () => {
    const bench = new PioBench()
    bench.load(0, [pio.pull(), pio.mov(pio.x, pio.osr), pio.jmp(2, pio.if.xDown), pio.push(), pio.jmp(0)])
    bench.write(0, REG.TXF0, 187_000)
    bench.write(0, REG.CTRL, 1)
    bench.run(187_002)
    expect(bench.read(0, REG.FLEVEL) >> 4).toBe(0)
    bench.run(3)
    expect(bench.read(0, REG.FLEVEL) >> 4).toBe(1)
    expect(bench.fabric.executed).toBeLessThan(200)
  })
})
