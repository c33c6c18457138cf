import { CYCLE_NS } from '../../../src/adapter/emulator/timeline.ts'
import { phaseAt, pinsOf } from '../../../src/port/chart.ts'
import type { Chart } from '../../../src/port/chart.ts'
import { PortEngine } from '../../../src/port/engine.ts'
import type { Pins } from '../../../src/port/engine.ts'
import type { Level } from '../../../src/port/pins.ts'
import { decodeImage } from '../../../src/profile/decode-image.ts'
import { ImageRunner } from '../../reference/profile/run-image.ts'
import type { Rig } from './rig.ts'

/** Whole numbers from 0 to below `n`, the same ones for the same seed (a linear congruential generator). */
export class Chance {
  #state: number
  constructor(seed: number) {
    this.#state = seed >>> 0
  }
  below(n: number): number {
    this.#state = (Math.imul(this.#state, 1664525) + 1013904223) >>> 0
    return Math.floor((this.#state / 2 ** 32) * n)
  }
}

/** Time in which the pins may be ahead of the model or behind it: what stands there is what stood or will stand. */
interface Window {
  readonly fromNs: number
  readonly toNs: number
  /** What may stand there besides. */
  readonly also: readonly Pins[]
}

/** What the adapter publishes of its timing, for one profile. */
interface Published {
  readonly replyMaxNs: number
  readonly idleResetMaxNs: number
  /** From an idle reset to the pins of a repeat that steps with it: the processor has a part in this. */
  readonly stepMaxNs: number
}

/** The repeat steps by an interrupt, and the table is written anew. */
const STEP_MAX_NS = 40_000

/**
 * The firmware on its chip beside the engine of `src/port`: both are given the same select and the same hands, and their
 * pins are compared at every instant.
 */
export class SideBySide {
  readonly #rig: Rig
  readonly #engine: PortEngine
  readonly #runner: ImageRunner
  readonly #published: Published
  readonly #steps: boolean
  #windows: Window[] = []
  #sinceNs: number
  /** How much of both has been compared, and what stood there last. */
  #seen: { chip: number; model: number; pins: Pins }
  /** Idle resets of late, with what was there before each. */
  #resets: { readonly atNs: number; readonly rises: number; readonly inputs: number }[] = []
  readonly #chart: Chart

  /** The image runs on the rig, at rest. */
  constructor(
    rig: Rig,
    image: Uint8Array,
    identity: { replyMaxNs: number; idleResetToleranceMaxNs: number },
    held: number,
  ) {
    this.#rig = rig
    this.#runner = new ImageRunner(image)
    const profile = decodeImage(image)
    if (!profile.ok) throw new Error(profile.error.message)
    this.#chart = profile.value.chart
    this.#runner.setControls(held)
    this.#engine = new PortEngine(this.#runner, rig.chip.select, rig.chip.nowNs)
    const { delayNs } = this.#runner
    this.#published = {
      replyMaxNs: identity.replyMaxNs + 2 * delayNs,
      idleResetMaxNs: identity.idleResetToleranceMaxNs + delayNs,
      stepMaxNs: STEP_MAX_NS + delayNs,
    }
    this.#steps = image.subarray(56, 80).some((reads) => reads !== 0)
    this.#sinceNs = rig.chip.nowNs
    rig.chip.clearEdges()
    this.#seen = { chip: 0, model: this.#engine.changes.length, pins: this.#engine.pins }
  }

  /** The console moves select after `gapNs`, or later where a rise would come too close to an idle reset to say which was first. */
  select(gapNs: number): void {
    const { chip } = this.#rig
    const level = chip.select === 'high' ? 'low' : 'high'
    let atNs = chip.nowNs + Math.round(gapNs / CYCLE_NS) * CYCLE_NS
    const resetNs = this.#engine.nextResetNs
    if (level === 'high' && resetNs !== null) {
      const lateNs = resetNs + this.#published.idleResetMaxNs
      if (atNs >= resetNs - 2 * CYCLE_NS && atNs <= lateNs) {
        atNs = Math.ceil((lateNs + CYCLE_NS) / CYCLE_NS) * CYCLE_NS
      }
    }
    this.#runTo(atNs)
    chip.setSelect(level)
    this.#engine.select(atNs, level)
    this.#windows.push({
      fromNs: atNs,
      toNs: atNs + this.#published.replyMaxNs,
      also: this.#late(atNs, level),
    })
  }

  /** What an edge may be answered with so soon after a reset that the count, or a step of a repeat, is still the one before. */
  #late(atNs: number, level: Level): Pins[] {
    const { idleResetMaxNs, stepMaxNs } = this.#published
    const { rises } = this.#engine
    this.#resets = this.#resets.filter((reset) => atNs <= reset.atNs + stepMaxNs)
    return this.#resets.flatMap((reset) => [
      pinsOf(phaseAt(this.#chart, rises, level), reset.inputs),
      ...(atNs <= reset.atNs + idleResetMaxNs
        ? [this.#runner.inputs, reset.inputs].map((inputs) =>
            pinsOf(phaseAt(this.#chart, reset.rises, level), inputs),
          )
        : []),
    ])
  }

  /** Lets the idle reset come, and all that follows from it. */
  rest(): void {
    const { nextResetNs } = this.#engine
    const quietNs =
      (nextResetNs ?? this.#rig.chip.nowNs) + this.#published.stepMaxNs + this.#published.replyMaxNs
    this.#runTo(quietNs)
  }

  /** The hands hold exactly these controls; select rests. */
  hold(controls: number): void {
    this.rest()
    const fromNs = this.#rig.chip.nowNs
    this.#rig.hold(controls)
    const toNs = this.#rig.chip.nowNs
    this.#engine.press(toNs, () => this.#runner.setControls(controls))
    this.#windows.push({ fromNs, toNs, also: [] })
  }

  #runTo(atNs: number): void {
    for (;;) {
      const resetNs = this.#engine.nextResetNs
      if (resetNs === null || resetNs > atNs) break
      const { idleResetMaxNs, stepMaxNs } = this.#published
      const { rises, level } = this.#engine
      if (level === 'unknown') throw new Error('select is always known here')
      const { inputs } = this.#runner
      this.#resets = this.#resets.filter((reset) => resetNs <= reset.atNs + stepMaxNs)
      this.#resets.push({ atNs: resetNs, rises, inputs })
      // The count is reset at once, and a step of a repeat follows: even that of a reset before this one.
      const also = this.#resets.map((reset) => pinsOf(phaseAt(this.#chart, 0, level), reset.inputs))
      this.#windows.push({
        fromNs: resetNs,
        toNs: resetNs + (this.#steps ? stepMaxNs : idleResetMaxNs),
        also,
      })
      this.#engine.advance(resetNs)
    }
    this.#engine.advance(atNs)
    this.#rig.chip.runTo(atNs)
  }

  /**
   * Compares everything since the last comparison.
   * @returns what is wrong, in words; null when nothing is
   */
  compare(): string | null {
    this.rest()
    const { chip } = this.#rig
    const windows = merged(this.#windows)
    const { pins: start } = this.#seen
    const edges = chip.edges.slice(this.#seen.chip)
    const changes = this.#engine.changes.slice(this.#seen.model)
    const chipAt = follower(edges, start)
    const modelAt = follower(changes, start)
    const times = new Set([
      this.#sinceNs,
      ...edges.map(({ atNs }) => atNs),
      ...changes.map(({ atNs }) => atNs),
    ])
    for (const { fromNs, toNs } of windows) times.add(fromNs).add(toNs)
    let fault: string | null = null
    for (const atNs of [...times].sort((a, b) => a - b)) {
      const pins = chipAt(atNs)
      const due = modelAt(atNs)
      if (pins === due) continue
      const window = windows.find(({ fromNs, toNs }) => fromNs <= atNs && atNs < toNs)
      if (window !== undefined && during(changes, window, start).includes(pins)) continue
      fault ??= `${atNs - this.#sinceNs} ns from the start the pins are ${bits(pins)} and should be ${bits(due)}`
    }
    this.#windows = []
    this.#sinceNs = chip.nowNs
    this.#seen = { chip: chip.edges.length, model: this.#engine.changes.length, pins: this.#engine.pins }
    return fault
  }
}

const bits = (pins: Pins): string => (pins === null ? 'unknown' : pins.toString(2).padStart(6, '0'))

interface Change {
  readonly atNs: number
  readonly pins: Pins
}

/** What stood at a time; times must be asked in order. */
function follower(changes: readonly Change[], start: Pins): (atNs: number) => Pins {
  let next = 0
  let pins = start
  return (atNs) => {
    for (let change = changes[next]; change !== undefined && change.atNs <= atNs; change = changes[++next]) {
      pins = change.pins
    }
    return pins
  }
}

/** All that the model shows from just before a window to its end. */
function during(changes: readonly Change[], { fromNs, toNs, also }: Window, start: Pins): Pins[] {
  const before = changes.findLast(({ atNs }) => atNs < fromNs)
  const within = changes.filter(({ atNs }) => atNs >= fromNs && atNs <= toNs)
  return [before === undefined ? start : before.pins, ...within.map(({ pins }) => pins), ...also]
}

function merged(windows: readonly Window[]): Window[] {
  const all: Window[] = []
  for (const window of [...windows].sort((a, b) => a.fromNs - b.fromNs)) {
    const last = all.at(-1)
    if (last === undefined || window.fromNs > last.toNs) {
      all.push(window)
      continue
    }
    const toNs = Math.max(last.toNs, window.toNs)
    all[all.length - 1] = { fromNs: last.fromNs, toNs, also: [...last.also, ...window.also] }
  }
  return all
}
