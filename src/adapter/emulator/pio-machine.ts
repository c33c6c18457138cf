import { ChipTrap } from './trap.ts'

/** What a state machine needs of its block. */
export interface MachineHost {
  readonly program: Uint16Array
  /** Levels as the synchronisers give them at this cycle. */
  readonly inputs: number
  irqFlags: number
  /** @returns whether that changed one */
  setPins(values: number, base: number, count: number): boolean
  setDirections(values: number, base: number, count: number): boolean
  /** Anything another part can notice, other than pins: FIFO, flags. */
  noticed(): void
  stalledOnTx(index: number): void
  stalledOnRx(index: number): void
}

/** After so many cycles the search for a cycle of the program takes a new starting point; doubled each time up to the limit. */
const FIRST_SEARCH = 8
const LONGEST_SEARCH = 256

/** A stretch of the program that comes round again and does nothing that could be noticed. */
interface Orbit {
  readonly period: number
  /** How much X and Y are less after each turn. */
  readonly fewerX: number
  readonly fewerY: number
}

const EXECCTRL_RESET = 0x0001f000
const SHIFTCTRL_RESET = 0x000c0000
const PINCTRL_RESET = 0x14000000
const CLKDIV_RESET = 0x00010000

/**
 * One PIO state machine, cycle by cycle (RP2040 datasheet §3.2, §3.4, §3.5).
 *
 * It knows when it runs in circles: {@link quietUntil} tells to which cycle it is certain to do nothing that can be
 * noticed from outside as long as nobody touches it, and {@link catchUp} then takes it there in a few steps.
 *
 * Not in the data sheet, so decided here: an instruction written to SMx_INSTR takes the place of the one that runs or
 * waits, with what is left of its delay.
 */
export class Machine {
  enabled = false
  pc = 0
  x = 0
  y = 0
  isr = 0
  isrCount = 0
  osr = 0
  /** Bits shifted out; 32 is empty. */
  osrCount = 32
  clkdiv = CLKDIV_RESET
  execctrl = EXECCTRL_RESET
  shiftctrl = SHIFTCTRL_RESET
  pinctrl = PINCTRL_RESET
  readonly tx: number[] = []
  readonly rx: number[] = []
  /** What was executed last, as SMx_INSTR reads. */
  instruction = 0

  /** An instruction that goes before the program's. */
  #forced = -1
  #delayLeft = 0
  #stalled = false
  /** An IRQ instruction has raised its flag and waits for it to fall. */
  #raised = false
  /** Cycles of the system clock to the next of the machine's. */
  #toTick = 1
  #fraction = 0

  #sidesetCount = 0
  #sideEnabled = false
  #sideDirections = false
  #delayMask = 0x1f
  #jumpPin = 0
  #wrapTop = 31
  #wrapBottom = 0

  /** Whether X or Y were used in the orbit searched for otherwise than by a jump that counts down and is taken. */
  #xUsed = false
  #yUsed = false
  #looked = 0
  #orbit: Orbit | null = null
  #quietUntil = 0
  #searchFrom = -1
  #searchLength = FIRST_SEARCH
  readonly #start = new Float64Array(16)

  constructor(
    private readonly host: MachineHost,
    readonly index: number,
  ) {
    this.configure()
  }

  /** Back to what the block's reset leaves. */
  reset(): void {
    this.enabled = false
    this.clkdiv = CLKDIV_RESET
    this.execctrl = EXECCTRL_RESET
    this.shiftctrl = SHIFTCTRL_RESET
    this.pinctrl = PINCTRL_RESET
    this.tx.length = this.rx.length = 0
    this.pc = this.x = this.y = this.osr = this.isr = 0
    this.restart()
    this.restartClock()
    this.configure()
  }

  /** CTRL.SM_RESTART (datasheet §3.7): what is left over of the past, not X, Y, the program counter and the configuration. */
  restart(): void {
    this.isr = 0
    this.isrCount = 0
    this.osrCount = 32
    this.#delayLeft = 0
    this.#stalled = false
    this.#raised = false
    this.#forced = -1
    this.touched()
  }

  restartClock(): void {
    this.#toTick = 1
    this.#fraction = 0
    this.touched()
  }

  /** Takes in what was written to the registers. */
  configure(): void {
    if (this.execctrl & 0x000e0000) throw new ChipTrap('PIO OUT_STICKY and INLINE_OUT_EN are not modelled')
    this.#sidesetCount = (this.pinctrl >>> 29) & 7
    this.#sideEnabled = (this.execctrl & (1 << 30)) !== 0
    this.#sideDirections = (this.execctrl & (1 << 29)) !== 0
    this.#delayMask = 0x1f >> this.#sidesetCount
    this.#jumpPin = (this.execctrl >>> 24) & 0x1f
    this.#wrapTop = (this.execctrl >>> 12) & 0x1f
    this.#wrapBottom = (this.execctrl >>> 7) & 0x1f
    this.touched()
  }

  get txDepth(): number {
    return this.shiftctrl & (1 << 31) ? 0 : this.shiftctrl & (1 << 30) ? 8 : 4
  }

  get rxDepth(): number {
    return this.shiftctrl & (1 << 30) ? 0 : this.shiftctrl & (1 << 31) ? 8 : 4
  }

  get txFull(): boolean {
    return this.tx.length >= this.txDepth
  }

  get rxFull(): boolean {
    return this.rx.length >= this.rxDepth
  }

  /** Whether an instruction that was written waits for its condition (EXECCTRL.EXEC_STALLED). */
  get execStalled(): boolean {
    return this.#forced >= 0
  }

  /** Executes an instruction at the next cycle, before the program's; at once where the machine is switched off. */
  force(instruction: number): void {
    this.touched()
    this.#delayLeft = 0
    this.#stalled = false
    this.#raised = false
    this.#forced = instruction & 0xffff
    if (!this.enabled) this.#execute()
  }

  /** Something the machine depends on has changed: what was known about its future is void. */
  touched(): void {
    this.#orbit = null
    this.#quietUntil = 0
    this.#searchFrom = -1
    this.#searchLength = FIRST_SEARCH
  }

  /** Inputs have changed; the future is void only if the machine looks at one of them. */
  inputsChanged(changed: number): void {
    if (this.#orbit === null || this.#looked & changed) this.touched()
  }

  /** To which cycle it does nothing that can be noticed; infinity while it stands still. */
  get quietUntil(): number {
    return this.enabled ? this.#quietUntil : Infinity
  }

  /** Cycle `at` of the system clock. */
  step(at: number): void {
    if (!this.enabled) return
    this.#tick()
    this.#search(at + 1)
  }

  /** Goes from cycle `from` to cycle `to`, no later than {@link quietUntil}. */
  catchUp(from: number, to: number): void {
    if (!this.enabled) return
    const orbit = this.#orbit as Orbit
    const turns = Math.floor((to - from) / orbit.period)
    this.x -= orbit.fewerX * turns
    this.y -= orbit.fewerY * turns
    for (let at = from + turns * orbit.period; at < to; at += 1) this.#tick()
  }

  #search(now: number): void {
    if (this.#orbit !== null && now < this.#quietUntil) return
    this.#orbit = null
    if (this.#searchFrom < 0) {
      this.#beginSearch(now)
      return
    }
    if (this.#cameRound()) {
      const fewerX = (this.#start[1] as number) - this.x
      const fewerY = (this.#start[2] as number) - this.y
      if (fewerX >= 0 && fewerY >= 0 && !(fewerX && this.#xUsed) && !(fewerY && this.#yUsed)) {
        const period = now - this.#searchFrom
        const turnsX = fewerX === 0 ? Infinity : Math.floor(this.x / fewerX)
        const turnsY = fewerY === 0 ? Infinity : Math.floor(this.y / fewerY)
        const turns = Math.min(turnsX, turnsY)
        if (turns > 0) {
          this.#orbit = { period, fewerX, fewerY }
          this.#quietUntil = now + turns * period
          return
        }
      }
    }
    if (now - this.#searchFrom >= this.#searchLength) {
      this.#searchLength = Math.min(this.#searchLength * 2, LONGEST_SEARCH)
      this.#beginSearch(now)
    }
  }

  #beginSearch(now: number): void {
    this.#searchFrom = now
    this.#xUsed = false
    this.#yUsed = false
    this.#looked = 0
    const start = this.#start
    start[0] = this.pc
    start[1] = this.x
    start[2] = this.y
    start[3] = this.isr
    start[4] = this.isrCount
    start[5] = this.osr
    start[6] = this.osrCount
    start[7] = this.#forced
    start[8] = this.#delayLeft
    start[9] = this.#stalled ? 1 : 0
    start[10] = this.#raised ? 1 : 0
    start[11] = this.#toTick
    start[12] = this.#fraction
  }

  #cameRound(): boolean {
    const start = this.#start
    return (
      start[0] === this.pc &&
      start[8] === this.#delayLeft &&
      start[11] === this.#toTick &&
      start[12] === this.#fraction &&
      start[9] === (this.#stalled ? 1 : 0) &&
      start[10] === (this.#raised ? 1 : 0) &&
      start[7] === this.#forced &&
      start[3] === this.isr &&
      start[4] === this.isrCount &&
      start[5] === this.osr &&
      start[6] === this.osrCount
    )
  }

  /** One cycle of the system clock, through the divider (datasheet §3.5.5). */
  #tick(): void {
    this.#toTick -= 1
    if (this.#toTick > 0) return
    const whole = (this.clkdiv >>> 16) & 0xffff || 0x10000
    const fraction = this.#fraction + ((this.clkdiv >>> 8) & 0xff)
    this.#toTick = whole + (fraction >> 8)
    this.#fraction = fraction & 0xff
    this.#execute()
  }

  #execute(): void {
    if (this.#delayLeft > 0) {
      this.#delayLeft -= 1
      this.#refill()
      return
    }
    const forced = this.#forced
    const instruction = forced >= 0 ? forced : (this.host.program[this.pc] as number)
    this.instruction = instruction
    this.#forced = -1
    this.#sideset(instruction)
    this.#stalled = false
    let jumped = false
    switch (instruction >>> 13) {
      case 0:
        jumped = this.#jump((instruction >> 5) & 7)
        if (jumped) this.pc = instruction & 0x1f
        this.#refill()
        break
      case 1:
        this.#stalled = !this.#wait(instruction)
        this.#refill()
        break
      case 2:
        this.#stalled = !this.#in((instruction >> 5) & 7, instruction & 0x1f || 32)
        this.#refill()
        break
      case 3:
        this.#stalled = !this.#out((instruction >> 5) & 7, instruction & 0x1f || 32)
        jumped = ((instruction >> 5) & 7) === 5
        break
      case 4:
        this.#stalled = !(instruction & 0x80 ? this.#pull(instruction) : this.#push(instruction))
        break
      case 5:
        this.#move(instruction)
        jumped = ((instruction >> 5) & 7) === 5
        break
      case 6:
        this.#stalled = !this.#irq(instruction)
        this.#refill()
        break
      default:
        this.#set((instruction >> 5) & 7, instruction & 0x1f)
        this.#refill()
    }
    if (this.#stalled) {
      // A forced instruction that waits stays in front until its condition holds.
      if (forced >= 0) this.#forced = forced
      return
    }
    // The delay of an instruction that executes another is not taken (datasheet §3.4.5, §3.4.8).
    const executesAnother = this.#forced >= 0
    if (!executesAnother) this.#delayLeft = (instruction >> 8) & this.#delayMask
    if (!jumped && forced < 0) this.#advance()
  }

  #advance(): void {
    this.pc = this.pc === this.#wrapTop ? this.#wrapBottom : (this.pc + 1) & 0x1f
  }

  #sideset(instruction: number): void {
    const count = this.#sidesetCount
    if (count === 0) return
    const field = (instruction >> 8) & 0x1f
    if (this.#sideEnabled && !(field & 0x10)) return
    const bits = this.#sideEnabled ? count - 1 : count
    const value = (this.#sideEnabled ? field & 0xf : field) >> (5 - count)
    const base = (this.pinctrl >>> 10) & 0x1f
    this.#drive(this.#sideDirections, value, base, bits)
  }

  #jump(condition: number): boolean {
    switch (condition) {
      case 0:
        return true
      case 1:
        this.#xUsed = true
        return this.x === 0
      case 2: {
        const taken = this.x !== 0
        if (!taken) this.#xUsed = true
        this.x = (this.x - 1) >>> 0
        return taken
      }
      case 3:
        this.#yUsed = true
        return this.y === 0
      case 4: {
        const taken = this.y !== 0
        if (!taken) this.#yUsed = true
        this.y = (this.y - 1) >>> 0
        return taken
      }
      case 5:
        this.#xUsed = this.#yUsed = true
        return this.x !== this.y
      case 6:
        this.#looked |= 1 << this.#jumpPin
        return ((this.host.inputs >>> this.#jumpPin) & 1) === 1
      default:
        return this.osrCount < this.#pullThreshold
    }
  }

  #wait(instruction: number): boolean {
    const wanted = (instruction >> 7) & 1
    const number = instruction & 0x1f
    switch ((instruction >> 5) & 3) {
      case 0:
        this.#looked |= 1 << number
        return ((this.host.inputs >>> number) & 1) === wanted
      case 1: {
        const gpio = (number + ((this.pinctrl >>> 15) & 0x1f)) & 0x1f
        this.#looked |= 1 << gpio
        return ((this.host.inputs >>> gpio) & 1) === wanted
      }
      case 2: {
        const bit = 1 << this.#flag(number)
        const met = ((this.host.irqFlags & bit) !== 0) === (wanted === 1)
        if (met && wanted === 1) {
          this.host.irqFlags &= ~bit
          this.#notice()
        }
        return met
      }
      default:
        throw new ChipTrap('PIO WAIT with a reserved source')
    }
  }

  #flag(number: number): number {
    return number & 0x10 ? (number & 4) | ((number + this.index) & 3) : number & 7
  }

  get #pushThreshold(): number {
    return (this.shiftctrl >>> 20) & 0x1f || 32
  }

  get #pullThreshold(): number {
    return (this.shiftctrl >>> 25) & 0x1f || 32
  }

  get #autopush(): boolean {
    return (this.shiftctrl & (1 << 16)) !== 0
  }

  get #autopull(): boolean {
    return (this.shiftctrl & (1 << 17)) !== 0
  }

  #source(source: number): number {
    switch (source) {
      case 0: {
        const base = (this.pinctrl >>> 15) & 0x1f
        const { inputs } = this.host
        this.#looked = -1
        return base === 0 ? inputs >>> 0 : ((inputs >>> base) | (inputs << (32 - base))) >>> 0
      }
      case 1:
        this.#xUsed = true
        return this.x
      case 2:
        this.#yUsed = true
        return this.y
      case 3:
        return 0
      case 6:
        return this.isr
      case 7:
        return this.osr
      default:
        throw new ChipTrap(`PIO source ${source} is reserved here`)
    }
  }

  #in(source: number, count: number): boolean {
    // An autopush that found the FIFO full waits with the bits already shifted in (datasheet §3.5.4).
    if (this.#raised) {
      if (this.rxFull) {
        this.host.stalledOnRx(this.index)
        return false
      }
      this.#raised = false
      this.#pushWord()
      return true
    }
    const value = this.#source(source)
    const bits = count === 32 ? value : value & ((1 << count) - 1)
    const right = (this.shiftctrl & (1 << 18)) !== 0
    if (count === 32) this.isr = bits
    else if (right) this.isr = ((this.isr >>> count) | (bits << (32 - count))) >>> 0
    else this.isr = ((this.isr << count) | bits) >>> 0
    this.isrCount = Math.min(32, this.isrCount + count)
    if (!this.#autopush || this.isrCount < this.#pushThreshold) return true
    if (this.rxFull) {
      this.#raised = true
      this.host.stalledOnRx(this.index)
      return false
    }
    this.#pushWord()
    return true
  }

  #pushWord(): void {
    this.rx.push(this.isr)
    this.isr = 0
    this.isrCount = 0
    this.#notice()
  }

  #out(destination: number, count: number): boolean {
    if (this.#autopull && this.osrCount >= this.#pullThreshold) {
      this.#refill()
      this.host.stalledOnTx(this.index)
      return false
    }
    const right = (this.shiftctrl & (1 << 19)) !== 0
    let bits: number
    if (count === 32) {
      bits = this.osr
      this.osr = 0
    } else if (right) {
      bits = this.osr & ((1 << count) - 1)
      this.osr >>>= count
    } else {
      bits = this.osr >>> (32 - count)
      this.osr = (this.osr << count) >>> 0
    }
    this.osrCount = Math.min(32, this.osrCount + count)
    switch (destination) {
      case 0:
        this.#drive(false, bits, this.pinctrl & 0x1f, (this.pinctrl >>> 20) & 0x3f)
        break
      case 1:
        this.#xUsed = true
        this.x = bits
        break
      case 2:
        this.#yUsed = true
        this.y = bits
        break
      case 3:
        break
      case 4:
        this.#drive(true, bits, this.pinctrl & 0x1f, (this.pinctrl >>> 20) & 0x3f)
        break
      case 5:
        this.pc = bits & 0x1f
        break
      case 6:
        this.isr = bits
        this.isrCount = count
        break
      default:
        this.#forced = bits & 0xffff
    }
    this.#refill()
    return true
  }

  /** Autopull in the background: an empty output register takes a word as soon as there is one (datasheet §3.5.4). */
  #refill(): void {
    if (!this.#autopull || this.osrCount < this.#pullThreshold) return
    const word = this.tx.shift()
    if (word === undefined) return
    this.osr = word
    this.osrCount = 0
    this.#notice()
  }

  #push(instruction: number): boolean {
    const ifFull = (instruction & 0x40) !== 0
    if (ifFull && this.isrCount < this.#pushThreshold) return true
    if (this.rxFull) {
      this.host.stalledOnRx(this.index)
      if (instruction & 0x20) return false
      this.isr = 0
      this.isrCount = 0
      return true
    }
    this.#pushWord()
    return true
  }

  #pull(instruction: number): boolean {
    const ifEmpty = (instruction & 0x40) !== 0
    if (ifEmpty && this.osrCount < this.#pullThreshold) return true
    // With autopull a PULL on a full output register does nothing (datasheet §3.4.7).
    if (this.#autopull && this.osrCount === 0) return true
    const word = this.tx.shift()
    if (word === undefined) {
      this.host.stalledOnTx(this.index)
      if (instruction & 0x20) return false
      this.#xUsed = true
      this.osr = this.x
      this.osrCount = 0
      return true
    }
    this.osr = word
    this.osrCount = 0
    this.#notice()
    return true
  }

  #move(instruction: number): void {
    const source = instruction & 7
    let value = source === 5 ? this.#status : this.#source(source)
    const operation = (instruction >> 3) & 3
    if (operation === 1) value = ~value >>> 0
    else if (operation === 2) value = reversed(value)
    switch ((instruction >> 5) & 7) {
      case 0:
        this.#drive(false, value, this.pinctrl & 0x1f, (this.pinctrl >>> 20) & 0x3f)
        break
      case 1:
        this.#xUsed = true
        this.x = value
        break
      case 2:
        this.#yUsed = true
        this.y = value
        break
      case 4:
        this.#forced = value & 0xffff
        break
      case 5:
        this.pc = value & 0x1f
        break
      case 6:
        this.isr = value
        this.isrCount = 0
        break
      case 7:
        this.osr = value
        this.osrCount = 0
        break
      default:
        throw new ChipTrap('PIO MOV to a reserved destination')
    }
  }

  get #status(): number {
    const level = this.execctrl & 0x10 ? this.rx.length : this.tx.length
    return level < (this.execctrl & 0xf) ? 0xffffffff : 0
  }

  #irq(instruction: number): boolean {
    const bit = 1 << this.#flag(instruction & 0x1f)
    if (this.#raised) {
      if (this.host.irqFlags & bit) return false
      this.#raised = false
      return true
    }
    const before = this.host.irqFlags
    if (instruction & 0x40) this.host.irqFlags &= ~bit
    else this.host.irqFlags |= bit
    if (this.host.irqFlags !== before) this.#notice()
    if (instruction & 0x40 || !(instruction & 0x20)) return true
    this.#raised = true
    return false
  }

  #set(destination: number, data: number): void {
    const base = (this.pinctrl >>> 5) & 0x1f
    const count = (this.pinctrl >>> 26) & 7
    if (destination === 0) this.#drive(false, data, base, count)
    else if (destination === 4) this.#drive(true, data, base, count)
    else if (destination === 1) {
      this.#xUsed = true
      this.x = data
    } else if (destination === 2) {
      this.#yUsed = true
      this.y = data
    } else throw new ChipTrap('PIO SET to a reserved destination')
  }

  #drive(directions: boolean, values: number, base: number, count: number): void {
    const { host } = this
    const changed = directions ? host.setDirections(values, base, count) : host.setPins(values, base, count)
    if (changed) this.#searchFrom = -1
  }

  #notice(): void {
    this.#searchFrom = -1
    this.host.noticed()
  }
}

function reversed(value: number): number {
  let bits = value
  bits = ((bits & 0x55555555) << 1) | ((bits >>> 1) & 0x55555555)
  bits = ((bits & 0x33333333) << 2) | ((bits >>> 2) & 0x33333333)
  bits = ((bits & 0x0f0f0f0f) << 4) | ((bits >>> 4) & 0x0f0f0f0f)
  bits = ((bits & 0x00ff00ff) << 8) | ((bits >>> 8) & 0x00ff00ff)
  return ((bits << 16) | (bits >>> 16)) >>> 0
}
