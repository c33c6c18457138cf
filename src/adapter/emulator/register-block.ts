import type { Peripheral } from 'rp2040js'

/**
 * A block of 32-bit registers with the three aliases that toggle, set and clear (RP2040 datasheet §2.1.2).
 * Registers whose bits clear on writing 1 look at `raw`, which is what stood on the bus.
 */
export abstract class RegisterBlock implements Peripheral {
  abstract read(offset: number): number
  abstract write(offset: number, value: number, raw: number): void

  /** The value of a register without what reading it does; overridden where reading does something. */
  peek(offset: number): number {
    return this.read(offset)
  }

  readUint32(offset: number): number {
    return this.read(offset & 0xfff) >>> 0
  }

  writeUint32(offset: number, value: number): void {
    this.write(offset, value >>> 0, value >>> 0)
  }

  writeUint32Atomic(offset: number, value: number, alias: number): void {
    const raw = value >>> 0
    if (alias === 0) return this.write(offset, raw, raw)
    const old = this.peek(offset)
    const next = alias === 1 ? old ^ raw : alias === 2 ? old | raw : old & ~raw
    this.write(offset, next >>> 0, raw)
  }
}

/** Registers that keep what is written and do nothing, with the values they have after a reset. */
export class PlainRegisters extends RegisterBlock {
  readonly #values: Map<number, number>

  constructor(resetValues: readonly (readonly [offset: number, value: number])[] = []) {
    super()
    this.#values = new Map(resetValues)
  }

  read(offset: number): number {
    return this.#values.get(offset) ?? 0
  }

  write(offset: number, value: number): void {
    this.#values.set(offset, value)
  }
}
