import type { InputMask } from '../../../src/port/pins.ts'
import type { ControlMask } from '../../../src/pad/controls.ts'
import {
  ACTIVITY_LAST,
  HISTORY_MAX_DESCRIPTOR_BYTES,
  HISTORY_MAX_PADS,
  ACTIVITY_MAX_REPORT_BYTES,
} from '../../../src/adapter/constants.ts'
import type { LastActivity, PadRecord } from '../../../src/adapter/pad-history.ts'
import { sameItems } from '../../../src/document/same-items.ts'
import { encodeLastActivity } from './link-device-codec.ts'

/** What a device keeps of pads. */
export interface PadMemory {
  /** The one that was written last comes first; {@link HISTORY_MAX_PADS} at most. */
  readonly history: readonly { readonly pad: PadRecord; readonly descriptor: Uint8Array }[]
  /** As LINK.md has it; `null` where no pad was activity. */
  readonly lastActivity: Uint8Array | null
  /** False when the memory refused. */
  forget(): boolean
}

type Known = PadMemory['history'][number]

/** Beside what became of it. */
const samePad = (a: PadRecord, b: PadRecord): boolean =>
  a.via === b.via &&
  a.vendorId === b.vendorId &&
  a.productId === b.productId &&
  a.release === b.release &&
  a.descriptorCrc32 === b.descriptorCrc32

type Mutable<T> = { -readonly [K in keyof T]: T[K] }

/**
 * What an adapter keeps, forgotten with the page: the firmware's pad-memory.h in TypeScript. Times are milliseconds of any clock that
 * does not go back.
 */
export class PadMemoryModel implements PadMemory {
  #history: Known[] = []
  #activity: Mutable<LastActivity> | null = null
  #pluggedMs = 0

  get history(): readonly Known[] {
    return this.#history
  }

  get lastActivity(): Uint8Array | null {
    return this.#activity && encodeLastActivity(this.#activity)
  }

  /** A pad was plugged in, or what became of it has changed. */
  pad(pad: PadRecord, descriptor: Uint8Array, nowMs: number): void {
    const newest = { pad, descriptor: descriptor.slice(0, HISTORY_MAX_DESCRIPTOR_BYTES) }
    const known = this.#history.find((one) => samePad(one.pad, pad))
    if (known?.pad.outcome !== pad.outcome)
      this.#history = [newest, ...this.#history.filter((one) => one !== known)].slice(0, HISTORY_MAX_PADS)
    if (pad.outcome === 'served' || pad.outcome === 'no layout') this.#watch(pad, nowMs)
  }

  #watch(pad: PadRecord, nowMs: number): void {
    if (this.#activity?.there && samePad(this.#activity.pad, pad)) {
      this.#activity.pad = pad
      return
    }
    this.#pluggedMs = nowMs
    this.#activity = {
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
    if (!this.#activity?.there) return
    this.#activity.takenMs = nowMs - this.#pluggedMs
    this.#activity.there = false
  }

  report(report: Uint8Array, nowMs: number): void {
    const activity = this.#activity
    if (!activity?.there) return
    activity.reportCount++
    const bytes = report.slice(0, ACTIVITY_MAX_REPORT_BYTES)
    const last = activity.reports.at(-1)
    if (last && sameItems(last.bytes, bytes)) return
    activity.reports = [...activity.reports, { atMs: nowMs - this.#pluggedMs, bytes }].slice(-ACTIVITY_LAST)
  }

  /** A read of the console has ended. */
  read(rises: number, nowMs: number): void {
    const activity = this.#activity
    if (!activity?.there) return
    activity.readCount++
    activity.mostRises = Math.max(activity.mostRises, rises)
    activity.reads = [...activity.reads, { atMs: nowMs - this.#pluggedMs, rises }].slice(-ACTIVITY_LAST)
  }

  /** Time passes: what is held and pressed now. */
  tick(nowMs: number, controls: ControlMask, inputs: InputMask): void {
    const activity = this.#activity
    if (!activity?.there) return
    activity.takenMs = nowMs - this.#pluggedMs
    activity.controls = controls
    activity.inputs = inputs
  }

  forget(): boolean {
    this.#history = []
    this.#activity = null
    return true
  }
}
