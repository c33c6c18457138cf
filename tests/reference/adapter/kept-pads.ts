import type { InputMask } from '../../../src/port/pins.ts'
import type { ControlMask } from '../../../src/pad/controls.ts'
import { encodeLastSeen } from '../../../src/adapter/kept.ts'
import {
  ACTIVITY_LAST,
  HISTORY_MAX_DESCRIPTOR_BYTES,
  HISTORY_MAX_PADS,
  ACTIVITY_MAX_REPORT_BYTES,
} from '../../../src/adapter/constants.ts'
import type { LastSeen, MetPad } from '../../../src/adapter/kept.ts'

/** Where a device keeps what it met. */
export interface KeptPads {
  /** The one that was written last comes first; {@link HISTORY_MAX_PADS} at most. */
  readonly met: readonly { readonly pad: MetPad; readonly descriptor: Uint8Array }[]
  /** As LINK.md has it; `null` where no pad was seen. */
  readonly lastSeen: Uint8Array | null
  /** False when the memory refused. */
  forget(): boolean
}

type Known = KeptPads['met'][number]

/** Beside what became of it. */
const samePad = (a: MetPad, b: MetPad): boolean =>
  a.via === b.via &&
  a.vendorId === b.vendorId &&
  a.productId === b.productId &&
  a.release === b.release &&
  a.descriptorCrc32 === b.descriptorCrc32

const equal = (a: Uint8Array, b: Uint8Array): boolean =>
  a.length === b.length && a.every((byte, k) => byte === b[k])

type Mutable<T> = { -readonly [K in keyof T]: T[K] }

/**
 * What an adapter keeps, forgotten with the page: the firmware's kept.h in memory. Times are milliseconds of any clock that
 * does not go back.
 */
export class MemoryKeptPads implements KeptPads {
  #met: Known[] = []
  #seen: Mutable<LastSeen> | null = null
  #pluggedMs = 0

  get met(): readonly Known[] {
    return this.#met
  }

  get lastSeen(): Uint8Array | null {
    return this.#seen && encodeLastSeen(this.#seen)
  }

  /** A pad was met, or what became of it has changed. */
  pad(pad: MetPad, descriptor: Uint8Array, nowMs: number): void {
    const met = { pad, descriptor: descriptor.slice(0, HISTORY_MAX_DESCRIPTOR_BYTES) }
    const known = this.#met.find((one) => samePad(one.pad, pad))
    if (known?.pad.outcome !== pad.outcome)
      this.#met = [met, ...this.#met.filter((one) => one !== known)].slice(0, HISTORY_MAX_PADS)
    if (pad.outcome === 'served' || pad.outcome === 'no layout') this.#watch(pad, nowMs)
  }

  #watch(pad: MetPad, nowMs: number): void {
    if (this.#seen?.there && samePad(this.#seen.pad, pad)) {
      this.#seen.pad = pad
      return
    }
    this.#pluggedMs = nowMs
    this.#seen = {
      pad,
      there: true,
      takenMs: 0,
      reportCount: 0,
      readCount: 0,
      mostRises: 0,
      controls: 0,
      inputs: 0,
      reports: [],
      reads: [],
    }
  }

  gone(nowMs: number): void {
    if (!this.#seen?.there) return
    this.#seen.takenMs = nowMs - this.#pluggedMs
    this.#seen.there = false
  }

  report(report: Uint8Array, nowMs: number): void {
    const seen = this.#seen
    if (!seen?.there) return
    seen.reportCount++
    const bytes = report.slice(0, ACTIVITY_MAX_REPORT_BYTES)
    const last = seen.reports.at(-1)
    if (last && equal(last.bytes, bytes)) return
    seen.reports = [...seen.reports, { atMs: nowMs - this.#pluggedMs, bytes }].slice(-ACTIVITY_LAST)
  }

  /** A read of the console has ended. */
  read(rises: number, nowMs: number): void {
    const seen = this.#seen
    if (!seen?.there) return
    seen.readCount++
    seen.mostRises = Math.max(seen.mostRises, rises)
    seen.reads = [...seen.reads, { atMs: nowMs - this.#pluggedMs, rises }].slice(-ACTIVITY_LAST)
  }

  /** Time passes: what is held and pressed now. */
  tick(nowMs: number, controls: ControlMask, inputs: InputMask): void {
    const seen = this.#seen
    if (!seen?.there) return
    seen.takenMs = nowMs - this.#pluggedMs
    seen.controls = controls
    seen.inputs = inputs
  }

  forget(): boolean {
    this.#met = []
    this.#seen = null
    return true
  }
}
