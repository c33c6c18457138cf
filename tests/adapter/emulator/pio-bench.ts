import { Fabric } from '../../../src/adapter/emulator/fabric.ts'
import { CYCLE_NS } from '../../../src/adapter/emulator/timeline.ts'

/** A few PIO instructions as the RP2040 datasheet §3.4 encodes them; delay and side-set are or-ed in from bit 8. */
export const pio = {
  jmp: (to: number, condition = 0) => (condition << 5) | to,
  /** Conditions of a jump. */
  if: { notX: 1, xDown: 2, notY: 3, yDown: 4, differ: 5, pin: 6, notEmpty: 7 },
  waitGpio: (level: 0 | 1, gpio: number) => 0x2000 | (level << 7) | gpio,
  waitIrq: (level: 0 | 1, irq: number) => 0x2040 | (level << 7) | irq,
  in: (source: number, bits: number) => 0x4000 | (source << 5) | (bits & 31),
  out: (to: number, bits: number) => 0x6000 | (to << 5) | (bits & 31),
  push: (block = true, ifFull = false) => 0x8000 | (ifFull ? 0x40 : 0) | (block ? 0x20 : 0),
  pull: (block = true, ifEmpty = false) => 0x8080 | (ifEmpty ? 0x40 : 0) | (block ? 0x20 : 0),
  mov: (to: number, from: number, operation = 0) => 0xa000 | (to << 5) | (operation << 3) | from,
  irqSet: (irq: number, wait = false) => 0xc000 | (wait ? 0x20 : 0) | irq,
  irqClear: (irq: number) => 0xc040 | irq,
  set: (to: number, data: number) => 0xe000 | (to << 5) | data,
  delay: (cycles: number) => cycles << 8,
  /** Sources and destinations. */
  pins: 0,
  x: 1,
  y: 2,
  null: 3,
  pinDirections: 4,
  isr: 6,
  osr: 7,
} as const

export const REG = {
  CTRL: 0x000,
  FSTAT: 0x004,
  FDEBUG: 0x008,
  FLEVEL: 0x00c,
  TXF0: 0x010,
  RXF0: 0x020,
  IRQ: 0x030,
  INSTR_MEM0: 0x048,
  SM0_CLKDIV: 0x0c8,
  SM0_EXECCTRL: 0x0cc,
  SM0_SHIFTCTRL: 0x0d0,
  SM0_ADDR: 0x0d4,
  SM0_INSTR: 0x0d8,
  SM0_PINCTRL: 0x0dc,
} as const
/** From one state machine's registers to the next. */
export const STRIDE = 0x18

/** The clocked parts of the chip without a processor: registers are written between cycles. */
export class PioBench {
  readonly fabric: Fabric
  /** Every change of the levels on the pins. */
  readonly changes: { atCycle: number; levels: number }[] = []
  readonly interrupts = new Map<string, boolean>()
  readonly memory = new Map<number, number>()

  constructor(lazy = true) {
    this.fabric = new Fabric(
      {
        interrupt: (line, wanted) => this.interrupts.set(line, wanted),
        read: (address) => this.#read(address),
        write: (address, value) => this.#write(address, value),
        pinsChanged: (atCycle) => {
          const { levels } = this.fabric.gpio
          if (this.changes.at(-1)?.levels !== levels) this.changes.push({ atCycle, levels })
        },
        pioStarted: () => {},
      },
      { outputs: 0, enables: 0 },
      { driven: 0, levels: 0, pullUps: 0 },
      0,
      lazy,
    )
  }

  /** Gives pins to PIO0 (function 6) or PIO1 (function 7). */
  give(block: 0 | 1, ...gpios: number[]): void {
    for (const gpio of gpios) this.fabric.gpio.bank.writeUint32(gpio * 8 + 4, 6 + block)
  }

  load(block: 0 | 1, program: readonly number[], from = 0): void {
    program.forEach((word, k) => this.write(block, REG.INSTR_MEM0 + 4 * (from + k), word))
  }

  write(block: 0 | 1, register: number, value: number): void {
    this.#pio(block).writeUint32(register, value)
  }

  read(block: 0 | 1, register: number): number {
    return this.#pio(block).readUint32(register)
  }

  /** Drives a pin from outside, from the present cycle on. */
  drive(gpio: number, high: boolean): void {
    const { board } = this.fabric.gpio
    board.driven |= 1 << gpio
    board.levels = high ? board.levels | (1 << gpio) : board.levels & ~(1 << gpio)
    this.fabric.gpio.update()
  }

  run(cycles: number): void {
    this.fabric.advanceTo(this.fabric.cycle + cycles)
  }

  get ns(): number {
    return this.fabric.cycle * CYCLE_NS
  }

  #pio(block: 0 | 1): Fabric['pio0'] {
    return block === 0 ? this.fabric.pio0 : this.fabric.pio1
  }

  #read(address: number): number {
    if (address >>> 20 === 0x502) return this.fabric.pio0.readUint32(address & 0xfff)
    if (address >>> 20 === 0x503) return this.fabric.pio1.readUint32(address & 0xfff)
    return this.memory.get(address) ?? 0
  }

  #write(address: number, value: number): void {
    if (address >>> 20 === 0x502) this.fabric.pio0.writeUint32(address & 0xfff, value)
    else if (address >>> 20 === 0x503) this.fabric.pio1.writeUint32(address & 0xfff, value)
    else this.memory.set(address, value)
  }
}

/** PINCTRL (RP2040 datasheet §3.7). */
export const pinctrl = (fields: {
  sideCount?: number
  setCount?: number
  outCount?: number
  inBase?: number
  sideBase?: number
  setBase?: number
  outBase?: number
}): number =>
  (((fields.sideCount ?? 0) << 29) |
    ((fields.setCount ?? 0) << 26) |
    ((fields.outCount ?? 0) << 20) |
    ((fields.inBase ?? 0) << 15) |
    ((fields.sideBase ?? 0) << 10) |
    ((fields.setBase ?? 0) << 5) |
    (fields.outBase ?? 0)) >>>
  0

/** EXECCTRL (RP2040 datasheet §3.7). */
export const execctrl = (fields: {
  sideEnable?: boolean
  jumpPin?: number
  wrapTop?: number
  wrapBottom?: number
}): number =>
  ((fields.sideEnable ? 1 << 30 : 0) |
    ((fields.jumpPin ?? 0) << 24) |
    ((fields.wrapTop ?? 31) << 12) |
    ((fields.wrapBottom ?? 0) << 7)) >>>
  0
