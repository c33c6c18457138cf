import type { PinSource } from './gpio.ts'
import { Machine } from './pio-machine.ts'
import type { MachineHost } from './pio-machine.ts'
import { RegisterBlock } from './register-block.ts'
import { ChipTrap, hex } from './trap.ts'

const CTRL = 0x000
const FSTAT = 0x004
const FDEBUG = 0x008
const FLEVEL = 0x00c
const TXF0 = 0x010
const RXF0 = 0x020
const IRQ = 0x030
const IRQ_FORCE = 0x034
const INPUT_SYNC_BYPASS = 0x038
const DBG_PADOUT = 0x03c
const DBG_PADOE = 0x040
const DBG_CFGINFO = 0x044
const INSTR_MEM0 = 0x048
const SM0_CLKDIV = 0x0c8
const MACHINE_STRIDE = 0x18
const INTR = 0x128
const IRQ0_INTE = 0x12c

/** What a PIO block needs of the chip around it. */
export interface PioSurroundings {
  /** The cycle that comes next. */
  readonly cycle: number
  /** Outputs have changed; settle the pins. */
  pinsChanged(): void
  /** FIFOs have changed; somebody may wait for that. */
  fifosChanged(): void
  interrupt(line: 0 | 1, wanted: boolean): void
  /** A machine was switched on: is the clock what it must be? */
  started(): void
}

/**
 * A PIO block: four state machines on one program memory, their FIFOs and flags (RP2040 datasheet §3).
 *
 * It lags behind the chip while all machines are quiet, and is taken to the present before anybody touches it.
 */
export class Pio extends RegisterBlock implements MachineHost, PinSource {
  readonly program = new Uint16Array(32)
  readonly machines: readonly [Machine, Machine, Machine, Machine]
  outputs = 0
  enables = 0
  irqFlags = 0
  /** Synchronised inputs, kept by whoever steps this block. */
  inputs = 0
  #cycle = 0
  #fdebug = 0
  readonly #inte = [0, 0]
  readonly #intf = [0, 0]
  #noticed = false
  #pinsChanged = false
  #catchingUp = false

  constructor(private readonly around: PioSurroundings) {
    super()
    this.machines = [new Machine(this, 0), new Machine(this, 1), new Machine(this, 2), new Machine(this, 3)]
  }

  reset(): void {
    this.program.fill(0)
    this.outputs = this.enables = this.irqFlags = this.#fdebug = 0
    this.#inte.fill(0)
    this.#intf.fill(0)
    for (const machine of this.machines) machine.reset()
    this.around.pinsChanged()
    this.#interrupts()
  }

  /** To which cycle nothing of this block can be noticed while nobody touches it. */
  get quietUntil(): number {
    const [a, b, c, d] = this.machines
    return Math.min(a.quietUntil, b.quietUntil, c.quietUntil, d.quietUntil)
  }

  /** Takes the block to the present, which must be no later than it is quiet. */
  catchUp(toCycle: number): void {
    const from = this.#cycle
    if (from >= toCycle) return
    this.#cycle = toCycle
    this.#catchingUp = true
    for (const machine of this.machines) machine.catchUp(from, toCycle)
    this.#catchingUp = false
  }

  /** The inputs at cycle `atCycle` and after. */
  setInputs(atCycle: number, inputs: number): void {
    const changed = this.inputs ^ inputs
    if (changed === 0) return
    this.catchUp(atCycle)
    this.inputs = inputs
    for (const machine of this.machines) machine.inputsChanged(changed)
  }

  /** Executes one cycle of every machine. */
  step(atCycle: number): void {
    this.catchUp(atCycle)
    this.#cycle = atCycle + 1
    for (const machine of this.machines) machine.step(atCycle)
    // What one machine did may be undone by another that was doing nothing new until now.
    if (this.#noticed || this.#pinsChanged) for (const machine of this.machines) machine.touched()
    if (this.#noticed) {
      this.#noticed = false
      this.#interrupts()
      this.around.fifosChanged()
    }
    if (this.#pinsChanged) {
      this.#pinsChanged = false
      this.around.pinsChanged()
    }
  }

  setPins(values: number, base: number, count: number): boolean {
    const next = spread(this.outputs, values, base, count)
    if (next === this.outputs) return false
    this.#busy()
    this.outputs = next
    this.#pinsChanged = true
    return true
  }

  setDirections(values: number, base: number, count: number): boolean {
    const next = spread(this.enables, values, base, count)
    if (next === this.enables) return false
    this.#busy()
    this.enables = next
    this.#pinsChanged = true
    return true
  }

  noticed(): void {
    this.#busy()
    this.#noticed = true
  }

  stalledOnTx(index: number): void {
    this.#fdebug |= 1 << (24 + index)
  }

  stalledOnRx(index: number): void {
    this.#fdebug |= 1 << index
  }

  /** Whether DMA has a word to fetch from a machine, or room for one. */
  wantsTransfer(direction: 'tx' | 'rx', index: number): boolean {
    const machine = this.machines[index] as Machine
    return direction === 'rx' ? machine.rx.length > 0 : !machine.txFull
  }

  override peek(offset: number): number {
    return offset >= RXF0 && offset < IRQ ? 0 : this.read(offset)
  }

  read(offset: number): number {
    this.catchUp(this.around.cycle)
    if (offset >= RXF0 && offset < IRQ) return this.#takeRx((offset - RXF0) >> 2)
    if (offset >= SM0_CLKDIV && offset < INTR) return this.#readMachine(offset - SM0_CLKDIV)
    if (offset >= INSTR_MEM0 && offset < SM0_CLKDIV) return 0
    switch (offset) {
      case CTRL:
        return this.#eachMachine((machine, k) => (machine.enabled ? 1 << k : 0))
      case FSTAT:
        return this.#eachMachine(
          (machine, k) =>
            (machine.rxFull ? 1 << k : 0) |
            (machine.rx.length === 0 ? 1 << (8 + k) : 0) |
            (machine.txFull ? 1 << (16 + k) : 0) |
            (machine.tx.length === 0 ? 1 << (24 + k) : 0),
        )
      case FDEBUG:
        return this.#fdebug
      case FLEVEL:
        return this.#eachMachine((machine, k) => (machine.tx.length | (machine.rx.length << 4)) << (8 * k))
      case IRQ:
        return this.irqFlags
      case IRQ_FORCE:
      case INPUT_SYNC_BYPASS:
        return 0
      case DBG_PADOUT:
        return this.outputs
      case DBG_PADOE:
        return this.enables
      case DBG_CFGINFO:
        return 0x00200404
      case INTR:
        return this.#raw
      default:
        if (offset >= IRQ0_INTE && offset < IRQ0_INTE + 24) {
          const line = offset >= IRQ0_INTE + 12 ? 1 : 0
          const which = (offset - IRQ0_INTE - line * 12) >> 2
          if (which === 0) return this.#inte[line] as number
          return which === 1 ? (this.#intf[line] as number) : this.#status(line)
        }
        if (offset >= TXF0 && offset < RXF0) return 0
        throw new ChipTrap(`there is no PIO register ${hex(offset)}`)
    }
  }

  write(offset: number, value: number, raw: number): void {
    this.catchUp(this.around.cycle)
    this.#apply(offset, value, raw)
    for (const machine of this.machines) machine.touched()
    this.#noticed = false
    this.#pinsChanged = false
    this.#interrupts()
    this.around.pinsChanged()
    this.around.fifosChanged()
  }

  #apply(offset: number, value: number, raw: number): void {
    if (offset >= INSTR_MEM0 && offset < SM0_CLKDIV) {
      this.program[(offset - INSTR_MEM0) >> 2] = value & 0xffff
    } else if (offset >= SM0_CLKDIV && offset < INTR) {
      this.#writeMachine(offset - SM0_CLKDIV, value)
    } else if (offset >= TXF0 && offset < RXF0) {
      this.#putTx((offset - TXF0) >> 2, value)
    } else if (offset === CTRL) this.#control(value)
    else if (offset === FDEBUG) this.#fdebug &= ~raw
    else if (offset === IRQ) this.irqFlags &= ~raw
    else if (offset === IRQ_FORCE) this.irqFlags |= raw & 0xff
    else if (offset === INPUT_SYNC_BYPASS) {
      if (value !== 0) throw new ChipTrap('PIO INPUT_SYNC_BYPASS is not modelled: keep the synchronisers')
    } else if (offset >= IRQ0_INTE && offset < IRQ0_INTE + 24) {
      const line = offset >= IRQ0_INTE + 12 ? 1 : 0
      const which = (offset - IRQ0_INTE - line * 12) >> 2
      if (which === 0) this.#inte[line] = value & 0xfff
      if (which === 1) this.#intf[line] = value & 0xfff
    } else throw new ChipTrap(`PIO register ${hex(offset)} cannot be written`)
  }

  #control(value: number): void {
    this.machines.forEach((machine, k) => {
      const enable = ((value >> k) & 1) === 1
      if (enable && !machine.enabled) this.around.started()
      machine.enabled = enable
      if ((value >> (4 + k)) & 1) machine.restart()
      if ((value >> (8 + k)) & 1) machine.restartClock()
    })
  }

  #readMachine(offset: number): number {
    const machine = this.machines[Math.floor(offset / MACHINE_STRIDE)] as Machine
    switch (offset % MACHINE_STRIDE) {
      case 0x00:
        return machine.clkdiv
      case 0x04:
        return machine.execctrl | (machine.execStalled ? 1 << 31 : 0)
      case 0x08:
        return machine.shiftctrl
      case 0x0c:
        return machine.pc
      case 0x10:
        return machine.enabled ? (this.program[machine.pc] as number) : machine.instruction
      default:
        return machine.pinctrl
    }
  }

  #writeMachine(offset: number, value: number): void {
    const machine = this.machines[Math.floor(offset / MACHINE_STRIDE)] as Machine
    switch (offset % MACHINE_STRIDE) {
      case 0x00:
        machine.clkdiv = value
        return
      case 0x04:
        machine.execctrl = value & 0x7fffffff
        break
      case 0x08:
        // Joining or parting the FIFOs empties them (datasheet §3.5.6.2).
        if ((machine.shiftctrl ^ value) & 0xc0000000) machine.tx.length = machine.rx.length = 0
        machine.shiftctrl = value
        break
      case 0x10:
        machine.force(value)
        return
      case 0x14:
        machine.pinctrl = value
        break
      default:
        return
    }
    machine.configure()
  }

  #takeRx(index: number): number {
    const machine = this.machines[index] as Machine
    const word = machine.rx.shift()
    if (word === undefined) {
      this.#fdebug |= 1 << (8 + index)
      return 0
    }
    machine.touched()
    this.#interrupts()
    this.around.fifosChanged()
    return word
  }

  #putTx(index: number, value: number): void {
    const machine = this.machines[index] as Machine
    if (machine.txFull) this.#fdebug |= 1 << (16 + index)
    else machine.tx.push(value)
  }

  #eachMachine(bits: (machine: Machine, k: number) => number): number {
    return this.machines.reduce((all, machine, k) => all | bits(machine, k), 0)
  }

  get #raw(): number {
    const fifos = this.#eachMachine(
      (machine, k) => (machine.rx.length > 0 ? 1 << k : 0) | (machine.txFull ? 0 : 1 << (4 + k)),
    )
    return fifos | ((this.irqFlags & 0xf) << 8)
  }

  #status(line: number): number {
    return (this.#raw & (this.#inte[line] as number)) | (this.#intf[line] as number)
  }

  #interrupts(): void {
    this.around.interrupt(0, this.#status(0) !== 0)
    this.around.interrupt(1, this.#status(1) !== 0)
  }

  #busy(): void {
    if (this.#catchingUp) throw new Error('a PIO machine was said to be quiet and is not')
  }
}

/** `count` bits of `values` laid over `old` from bit `base` on, round the corner after bit 31. */
function spread(old: number, values: number, base: number, count: number): number {
  if (count === 0) return old
  const ones = count >= 32 ? -1 : (1 << count) - 1
  const turn = (bits: number): number => (base === 0 ? bits : (bits << base) | (bits >>> (32 - base)))
  return (old & ~turn(ones)) | turn(values & ones)
}
