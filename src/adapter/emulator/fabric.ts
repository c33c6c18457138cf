import { Dma } from './dma.ts'
import { Gpio } from './gpio.ts'
import type { Board, PinSource } from './gpio.ts'
import { Pio } from './pio.ts'

/** Flip-flops between a pin and the inside (RP2040 datasheet §3.5.6.3). */
const SYNCHRONISER_CYCLES = 2

/** What the clocked parts need of the chip. */
export interface FabricSurroundings {
  interrupt(
    line: 'pio0-0' | 'pio0-1' | 'pio1-0' | 'pio1-1' | 'dma-0' | 'dma-1' | 'io-bank0',
    wanted: boolean,
  ): void
  read(address: number, bytes: number): number
  write(address: number, value: number, bytes: number): void
  /** The levels on the pins, or who drives them, may have changed at the present cycle. */
  pinsChanged(atCycle: number): void
  /** A state machine was switched on. */
  pioStarted(): void
}

/**
 * The parts that must keep step with one another to the cycle: pins, synchronisers, both PIO blocks and the DMA.
 *
 * While all of them are certain to do nothing that can be noticed, cycles are not executed but counted.
 */
export class Fabric {
  readonly pio0: Pio
  readonly pio1: Pio
  readonly dma: Dma
  readonly gpio: Gpio
  /** The cycle that comes next. */
  cycle: number
  /** Levels after the synchronisers. */
  #inputs = 0
  readonly #inFlight: { atCycle: number; inputs: number }[] = []
  #entering = 0
  /** Cycles that were executed, for speed tests. */
  executed = 0

  /**
   * @param sio outputs of the processor
   * @param board what stands outside; kept through a reset of the chip
   * @param lazy false executes every cycle: slow, and what the quick way must agree with
   */
  constructor(
    private readonly around: FabricSurroundings,
    sio: PinSource,
    board: Board,
    startCycle: number,
    private readonly lazy: boolean,
  ) {
    this.cycle = startCycle
    this.pio0 = new Pio(this.#surroundingsOf(0))
    this.pio1 = new Pio(this.#surroundingsOf(1))
    const cycle = (): number => this.cycle
    this.dma = new Dma({
      get cycle() {
        return cycle()
      },
      requests: (treq) => this.#requests(treq),
      read: (address, bytes) => around.read(address, bytes),
      write: (address, value, bytes) => around.write(address, value, bytes),
      interrupt: (line, wanted) => around.interrupt(line === 0 ? 'dma-0' : 'dma-1', wanted),
    })
    this.gpio = new Gpio({ sio, pio0: this.pio0, pio1: this.pio1 }, board)
    this.gpio.onChange = () => this.#pinsChanged()
    this.gpio.onInterrupt = (wanted) => around.interrupt('io-bank0', wanted)
    this.#entering = this.#inputs = this.gpio.seen
    this.pio0.inputs = this.pio1.inputs = this.#inputs
    this.pio0.catchUp(startCycle)
    this.pio1.catchUp(startCycle)
  }

  /** The levels of the pins as the processor and the PIO read them now, two cycles old. */
  get inputs(): number {
    this.#synchronise()
    return this.#inputs
  }

  /** Up to which cycle there is nothing to execute. */
  get due(): number {
    if (!this.lazy) return this.cycle
    const inFlight = this.#inFlight[0]
    return Math.min(
      this.pio0.quietUntil,
      this.pio1.quietUntil,
      this.dma.due,
      inFlight === undefined ? Infinity : inFlight.atCycle,
    )
  }

  /** Executes all cycles before `toCycle`. */
  advanceTo(toCycle: number): void {
    while (this.cycle < toCycle) {
      const { due } = this
      if (due > this.cycle) this.cycle = Math.min(due, toCycle)
      else this.#step()
    }
  }

  #step(): void {
    this.executed += 1
    const { cycle } = this
    this.#synchronise()
    this.dma.step(cycle)
    const first = this.pio0.quietUntil <= cycle || !this.lazy
    const second = this.pio1.quietUntil <= cycle || !this.lazy
    // What a cycle does is there when the next begins.
    this.cycle = cycle + 1
    if (first) this.pio0.step(cycle)
    if (second) this.pio1.step(cycle)
  }

  #synchronise(): void {
    for (
      let next = this.#inFlight[0];
      next !== undefined && next.atCycle <= this.cycle;
      next = this.#inFlight[0]
    ) {
      this.#inFlight.shift()
      this.#inputs = next.inputs
      this.pio0.setInputs(next.atCycle, next.inputs)
      this.pio1.setInputs(next.atCycle, next.inputs)
    }
  }

  #pinsChanged(): void {
    const { seen } = this.gpio
    if (seen !== this.#entering) {
      this.#entering = seen
      this.#inFlight.push({ atCycle: this.cycle + SYNCHRONISER_CYCLES, inputs: seen })
    }
    this.around.pinsChanged(this.cycle)
  }

  /** DREQ numbers of RP2040 datasheet §2.5.3.1. */
  #requests(treq: number): boolean {
    if (treq >= 16) throw new Error(`DMA request ${treq} is not modelled`)
    const pio = treq < 8 ? this.pio0 : this.pio1
    return pio.wantsTransfer(treq & 4 ? 'rx' : 'tx', treq & 3)
  }

  #surroundingsOf(index: 0 | 1): ConstructorParameters<typeof Pio>[0] {
    const cycle = (): number => this.cycle
    return {
      get cycle() {
        return cycle()
      },
      pinsChanged: () => this.gpio.update(),
      fifosChanged: () => this.dma.poke(),
      interrupt: (line, wanted) => this.around.interrupt(`pio${index}-${line}`, wanted),
      started: () => this.around.pioStarted(),
    }
  }
}
