import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { PioBench, REG, execctrl, pinctrl, pio } from './pio-bench.ts'

const SELECT = 8
const side = (level: number): number => (0x10 | (level << 3)) << 8

/** A table of replies as the reply engine keeps it: pair k is the replies after k rises, the last rises into the first. */
function program(pairs: number): number[] {
  const words = [pio.jmp(3)]
  for (let k = 0; k < pairs; k += 1) {
    const high = k === 0 ? 1 : 1 + 5 * k
    const low = high + 2
    const next = k + 1 < pairs ? high + 5 : 1
    words.push(pio.set(pio.pins, k | 0b10000) | side(1), pio.jmp(high, pio.if.pin))
    words.push(pio.set(pio.pins, k) | side(0), pio.jmp(next, pio.if.pin), pio.jmp(low))
  }
  return words
}

function engine(pairs: number): PioBench {
  const bench = new PioBench()
  bench.give(0, 2, 3, 4, 5, 6, 7)
  bench.load(0, program(pairs))
  bench.write(0, REG.SM0_PINCTRL, pinctrl({ setCount: 1, setBase: 7 }))
  bench.write(0, REG.SM0_INSTR, pio.set(pio.pinDirections, 1))
  bench.write(0, REG.SM0_PINCTRL, pinctrl({ setCount: 5, setBase: 2, sideCount: 2, sideBase: 7 }))
  bench.write(0, REG.SM0_EXECCTRL, execctrl({ sideEnable: true, jumpPin: SELECT }))
  bench.write(0, REG.SM0_INSTR, pio.set(pio.pinDirections, 31))
  bench.drive(SELECT, false)
  bench.write(0, REG.CTRL, 1)
  bench.run(100)
  return bench
}

/** What the six pins say: the pair and the level. */
const replyOf = (bench: PioBench): { pair: number; high: boolean } => {
  const bits = bench.fabric.gpio.levels >> 2
  return { pair: bits & 0b1111, high: (bits & 0b110000) === 0b110000 }
}

describe('a table of replies in instruction memory', () => {
  it('answers an edge of select in 4 to 6 cycles, six pins at once', () => {
    const bench = engine(5)
    const latencies = new Set<number>()
    let high = false
    let rises = 0
    // Figures found by experiment with the synchroniser counted in: 4 / 5 / 6 cycles.
    for (const wait of fc.sample(fc.integer({ min: 60, max: 900 }), 2000)) {
      bench.run(wait)
      high = !high
      if (high) rises += 1
      bench.changes.length = 0
      const from = bench.fabric.cycle
      bench.drive(SELECT, high)
      bench.run(20)
      const replies = bench.changes.filter(
        ({ levels }, k, all) => k > 0 && (levels ^ (all[k - 1]?.levels ?? 0)) & 0xfc,
      )
      expect(replies).toHaveLength(1)
      latencies.add((replies[0]?.atCycle ?? 0) - from)
      expect(replyOf(bench)).toEqual({ pair: rises % 5, high })
    }
    expect([...latencies].sort()).toEqual([4, 5, 6])
  })

  it('shows a changed reply within its loop', () => {
    const bench = engine(5)
    for (const wait of [0, 1, 2, 3, 4, 5]) {
      bench.run(wait)
      for (const reply of [0b01111, 0b00000]) {
        const from = bench.fabric.cycle
        bench.write(0, REG.INSTR_MEM0 + 4 * 3, pio.set(pio.pins, reply) | side(0))
        bench.run(10)
        expect((bench.changes.at(-1)?.atCycle ?? Infinity) - from).toBeLessThanOrEqual(4)
        expect(bench.fabric.gpio.levels >> 2).toBe(reply)
      }
    }
  })

  it('is sent back to a start by DMA, 6 to 9 cycles after a word was pushed (§2.5, not in the data sheet)', () => {
    const bench = engine(5)
    // A machine of the other block gives the word: 0 is a jump to the first reply to low, 1 to high.
    bench.load(1, [pio.pull(), pio.mov(pio.isr, pio.osr), pio.push() | pio.delay(31)])
    bench.write(1, REG.SM0_EXECCTRL, execctrl({ wrapTop: 2 }))
    bench.fabric.dma.writeUint32(0x00, 0x50300000 + REG.RXF0)
    bench.fabric.dma.writeUint32(0x04, 0x50200000 + REG.SM0_INSTR)
    bench.fabric.dma.writeUint32(0x08, 0xffffffff)
    bench.fabric.dma.writeUint32(0x0c, 1 | (2 << 2) | (12 << 15))
    bench.write(1, REG.CTRL, 1)
    const latencies = new Set<number>()
    for (let turn = 0; turn < 60; turn += 1) {
      bench.run(50)
      bench.drive(SELECT, true)
      bench.run(50 + (turn % 7))
      bench.drive(SELECT, false)
      bench.run(50)
      expect(replyOf(bench)).toEqual({ pair: 1, high: false })
      // Pull and mov take two cycles, push is the third.
      const pushed = bench.fabric.cycle + 2
      bench.write(1, REG.TXF0, 0)
      bench.run(40)
      expect(replyOf(bench)).toEqual({ pair: 0, high: false })
      // The jump is executed in the cycle in which it is written, the reply a cycle later, and another to the pins; from the
      // first word of the program the way is a cycle longer.
      latencies.add((bench.changes.at(-1)?.atCycle ?? 0) - pushed - 3)
    }
    expect(Math.min(...latencies)).toBe(6)
    expect(Math.max(...latencies)).toBe(9)
  })
})
