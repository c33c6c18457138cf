import fc from 'fast-check'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { controlMask } from '../../../src/pad/controls.ts'
import { PadReader } from '../../../src/pad/extract.ts'
import type { Layout } from '../../../src/pad/layout/schema.ts'
import { stickDirection } from '../../../src/pad/stick/direction.ts'
import { stickNumbers } from '../../../src/pad/stick/numbers.ts'
import { inputsIn } from '../../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { ControlsRunner } from '../../../src/profile/run-controls.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { arbitraryLayout, arbitraryReport } from '../../pad/arbitrary-layout.ts'
import { describeWith } from '../../tools.ts'
import { arbRunnable } from './input-state-reference.ts'
import { COMPILE_MS, HOST_COMPILER, HostProgram, Message, Reader } from './host-program.ts'
import { draws, often } from '../../draws.ts'

/** A bank: a profile, and the layout of our pad in it, if it has one. */
interface Bank {
  readonly profile: Profile
  readonly layout: Layout | null
}

type Step =
  | { readonly kind: 'host'; readonly held: number }
  | { readonly kind: 'report'; readonly bytes: Uint8Array }
  | { readonly kind: 'host gone' | 'plug' | 'pad gone' | 'tick' | 'read ended' }
  | { readonly kind: 'load'; readonly bank: number }
  /** The bank is changed to that was asked for; what the host comes to hold while it is fetched. */
  | { readonly kind: 'change bank'; readonly meanwhile: number | null }

const LETTERS = {
  host: 'h',
  'host gone': 'g',
  plug: 'p',
  report: 'r',
  'pad gone': 'u',
  tick: 't',
  'read ended': 'i',
  load: 'l',
  'change bank': 'c',
} as const

const OURS: Layout['pad'] = { via: 'hid', vendorId: 0x1209, productId: 1, descriptorCrc32: null }

function letterOf(into: Message, step: Step, nowMs: number): void {
  into.bytes(Buffer.from(LETTERS[step.kind])).u32(nowMs)
  if (step.kind === 'host') into.u32(step.held)
  if (step.kind === 'plug') into.u8(0).u16(OURS.vendorId).u16(OURS.productId).u32(0xfeedbeef)
  if (step.kind === 'report') into.counted(step.bytes)
  if (step.kind === 'load') into.u8(step.bank)
  if (step.kind === 'change bank') into.u8(step.meanwhile === null ? 0 : 1).u32(step.meanwhile ?? 0)
}

/** What a pad holds under a bank, sticks included. */
class PadUnder {
  readonly #reader: PadReader
  readonly #sticks
  held = 0

  constructor({ profile, layout }: Bank & { readonly layout: Layout }) {
    this.#reader = new PadReader(layout)
    this.#sticks = (['left', 'right'] as const).map((side) => ({
      side,
      gate: profile.sticks[side].gate,
      numbers: stickNumbers(profile.sticks[side]),
      pointing: 0,
    }))
  }

  report(bytes: Uint8Array): void {
    const state = this.#reader.report(bytes)
    this.held = state.controls
    this.#sticks.forEach((stick, k) => {
      const { x, y } = state[stick.side]
      stick.pointing = stickDirection(stick.numbers, stick.gate, x, y, stick.pointing)
      this.held = (this.held | (stick.pointing << (k === 0 ? 17 : 21))) >>> 0
    })
  }
}

/** Host, pad and banks in the plainest way. */
class Box {
  #hands: ControlsRunner
  #bank: Bank
  #number = 0
  #host: number | null = null
  #plugged = false
  #pad: PadUnder | null = null
  #last: Uint8Array | null = null
  #reported = false

  constructor(private readonly banks: readonly Bank[]) {
    this.#bank = banks[0] as Bank
    this.#hands = new ControlsRunner(this.#bank.profile, 1)
  }

  get #held(): number {
    return ((this.#host ?? 0) | (this.#pad?.held ?? 0)) >>> 0
  }
  /** Somebody left. Once there was a report that is the same as a report of what is left: these profiles have no bank change. */
  #left(nowMs: number): void {
    if (this.#reported) this.#hands.report(this.#held, nowMs)
    else this.#hands.letGo(nowMs)
  }
  #report(nowMs: number): void {
    this.#reported = true
    this.#hands.report(this.#held, nowMs)
  }
  #lookUp(): void {
    const { profile, layout } = this.#bank
    this.#pad = this.#plugged && layout !== null ? new PadUnder({ profile, layout }) : null
  }

  act(step: Step, nowMs: number): void {
    switch (step.kind) {
      case 'host':
        this.#host = step.held
        return this.#report(nowMs)
      case 'host gone':
        this.#host = null
        return this.#left(nowMs)
      case 'plug':
        this.#plugged = true
        this.#last = null
        this.#lookUp()
        return this.#left(nowMs)
      case 'report':
        if (!this.#plugged || step.bytes.length === 0) return
        this.#last = step.bytes
        if (this.#pad === null) return
        this.#pad.report(step.bytes)
        return this.#report(nowMs)
      case 'pad gone':
        this.#plugged = false
        this.#pad = null
        return this.#left(nowMs)
      case 'tick':
        return this.#hands.tick(nowMs)
      case 'read ended':
        return this.#hands.readEnded()
      case 'load':
        // What is held when an image is loaded is what its own layout makes of the report (IMAGE.md, "Chords").
        this.#number = step.bank
        this.#bank = this.banks[step.bank] as Bank
        this.#lookUp()
        if (this.#last !== null && this.#pad !== null) {
          this.#pad.report(this.#last)
          this.#report(nowMs)
        } else this.#left(nowMs)
        return this.#hands.load(this.#bank.profile, step.bank + 1, nowMs)
      case 'change bank':
        // These profiles ask for none.
        return
    }
  }

  get shown() {
    return {
      inputs: this.#hands.inputs,
      known: this.#pad !== null,
      somebody: this.#host !== null || this.#pad !== null,
      bank: this.#number,
    }
  }
}

const arbPad = arbitraryLayout({ vias: ['hid'], withinBytes: 4, extractors: 12 }).map((layout) => ({
  ...layout,
  pad: OURS,
}))
const arbBank: fc.Arbitrary<Bank> = fc.record({
  profile: arbRunnable.map((profile) => ({ ...profile, bankChange: [], powerOn: [] })),
  layout: fc.option(arbPad, { freq: 4 }),
})

const arbScene = fc.array(arbBank, { minLength: 4, maxLength: 4 }).chain((banks) => {
  const layouts = banks.flatMap(({ layout }) => (layout === null ? [] : [layout]))
  const arbBytes =
    layouts.length === 0
      ? fc.uint8Array({ maxLength: 8 })
      : fc.constantFrom(...layouts).chain((layout) => arbitraryReport(layout))
  const arbStep: fc.Arbitrary<Step> = fc.oneof(
    { weight: 8, arbitrary: arbBytes.map((bytes) => ({ kind: 'report' as const, bytes })) },
    {
      weight: 3,
      arbitrary: fc
        .oneof(fc.constant(0), fc.integer({ min: 0, max: 0xffff_ffff }))
        .map((held) => ({ kind: 'host' as const, held })),
    },
    { weight: 4, arbitrary: fc.constantFrom<Step>({ kind: 'tick' }, { kind: 'read ended' }) },
    { weight: 3, arbitrary: fc.constant<Step>({ kind: 'plug' }) },
    { weight: 2, arbitrary: fc.constantFrom<Step>({ kind: 'pad gone' }, { kind: 'host gone' }) },
    { weight: 2, arbitrary: fc.nat(3).map((bank) => ({ kind: 'load' as const, bank })) },
  )
  const arbTimed = fc.record({
    step: arbStep,
    afterMs: fc.oneof(fc.nat(3), fc.constantFrom(0, 499, 500), fc.nat(300)),
  })
  return fc.record({
    banks: fc.constant(banks),
    steps: fc.array(arbTimed, { minLength: 20, maxLength: 40, size: 'max' }),
  })
})

describeWith('pad and host together in C', [HOST_COMPILER], () => {
  let host: HostProgram
  beforeAll(() => {
    const parts = ['extract.c', 'stick.c', 'pad-reader.c', 'input-state.c', 'chords.c', 'layers.c', 'image.c']
    host = HostProgram.start('player-host.c', [...parts, 'image-content.c', 'crc32.c', 'sweep.c'], {
      tables: true,
    })
  }, COMPILE_MS)
  afterAll(() => host.stop())

  async function played(banks: readonly Bank[], steps: readonly (readonly [number, Step])[]) {
    const message = new Message()
    for (const { profile, layout } of banks)
      message.counted(encodeImage(profile, layout === null ? [] : [layout]))
    for (const [nowMs, step] of steps) letterOf(message, step, nowMs)
    const answer = new Reader(await host.ask(message.done()))
    return steps.map(() => ({
      inputs: answer.u16(),
      known: answer.u8() === 1,
      somebody: answer.u8() === 1,
      bank: answer.u8(),
    }))
  }

  test(`hold together what each of them holds, whatever comes and goes: ${draws(300)} random scenes`, async () => {
    let pressed = 0
    await fc.assert(
      fc.asyncProperty(arbScene, async ({ banks, steps }) => {
        let nowMs = 0
        const timed = steps.map(({ step, afterMs }): [number, Step] => [(nowMs += afterMs), step])
        const box = new Box(banks)
        const expected = timed.map(([atMs, step]) => {
          box.act(step, atMs)
          return box.shown
        })
        expect(await played(banks, timed)).toEqual(expected)
        pressed += expected.filter(({ inputs, known }) => known && inputs !== 0).length
      }),
      { numRuns: draws(300), endOnFailure: true },
    )
    expect(pressed).toBeGreaterThan(often(300))
  })

  test('nothing is stuck when one of them goes, and what the other holds stays', async () => {
    const profile = BUILT_IN_PROFILES['three-button']
    const layout: Layout = {
      format: 'ninepin-layout',
      version: 1,
      name: 'Pad of the lamp museum',
      notes: '',
      pad: OURS,
      extractors: [
        {
          kind: 'threshold',
          control: 'dpad-up',
          field: { report: 0, bit: 0, bits: 1, signed: false },
          press: 1,
          release: 0,
        },
      ],
    }
    const bank: Bank = { profile, layout }
    const states = await played(
      [bank, { profile, layout: null }, bank, bank],
      [
        [0, { kind: 'plug' }],
        [1, { kind: 'report', bytes: Uint8Array.of(0) }],
        [502, { kind: 'tick' }],
        [600, { kind: 'report', bytes: Uint8Array.of(1) }],
        [601, { kind: 'host', held: controlMask(['dpad-right']) }],
        [602, { kind: 'pad gone' }],
        [603, { kind: 'plug' }],
        [604, { kind: 'report', bytes: Uint8Array.of(1) }],
        [605, { kind: 'host gone' }],
        [606, { kind: 'load', bank: 1 }],
        [607, { kind: 'report', bytes: Uint8Array.of(1) }],
        [608, { kind: 'load', bank: 2 }],
        [609, { kind: 'pad gone' }],
      ],
    )
    expect(states.slice(3).map(({ inputs }) => inputsIn(inputs))).toEqual([
      ['up'],
      ['up', 'right'],
      ['right'],
      ['right'],
      ['up', 'right'],
      ['up'],
      [],
      [],
      ['up'],
      [],
    ])
    expect(states.map(({ known }) => known)).toEqual([
      ...Array.from({ length: 5 }, () => true),
      false,
      true,
      true,
      true,
      false,
      false,
      true,
      false,
    ])
  })
  test('what is held when an image is loaded is what its own layout says: nothing else toggles a layer, and it does not wait', async () => {
    const plain = BUILT_IN_PROFILES['three-button']
    const bitIs = (control: 'dpad-up' | 'dpad-right'): Layout => ({
      format: 'ninepin-layout',
      version: 1,
      name: 'Pad of the lamp museum',
      notes: '',
      pad: OURS,
      extractors: [
        {
          kind: 'threshold',
          control,
          field: { report: 0, bit: 0, bits: 1, signed: false },
          press: 1,
          release: 0,
        },
      ],
    })
    const first: Bank = { profile: plain, layout: bitIs('dpad-up') }
    const toggled: Profile = {
      ...plain,
      layers: [{ kind: 'toggled', by: ['dpad-up'], mapping: { right: ['dpad-left'] } }],
    }
    const chord: Profile = {
      ...plain,
      chords: [{ held: ['dpad-right', 'face-south'], withinMs: 250, inputs: ['start'] }],
    }
    const layout = bitIs('dpad-right')
    const states = await played(
      [first, { profile: toggled, layout }, { profile: chord, layout }, first],
      [
        [0, { kind: 'plug' }],
        [1, { kind: 'report', bytes: Uint8Array.of(1) }],
        [502, { kind: 'tick' }],
        [600, { kind: 'load', bank: 1 }],
        [700, { kind: 'load', bank: 0 }],
        [800, { kind: 'load', bank: 2 }],
      ],
    )
    expect(states.slice(2).map(({ inputs }) => inputsIn(inputs))).toEqual([
      ['up'],
      ['right'],
      ['up'],
      ['right'],
    ])
  })
  test('a bank is changed to with nothing held (IMAGE.md, "Bank change"), whatever is pressed while it is fetched', async () => {
    const plain = BUILT_IN_PROFILES['three-button']
    const profile: Profile = { ...plain, bankChange: [{ held: ['dpad-right'], forMs: 0, bank: 2 }] }
    const bank: Bank = { profile, layout: null }
    const none: Bank = { profile: plain, layout: null }
    const up = controlMask(['dpad-up'])
    const states = await played(
      [bank, none, none, none],
      [
        [1, { kind: 'host', held: 0 }],
        [502, { kind: 'tick' }],
        [600, { kind: 'host', held: controlMask(['dpad-right']) }],
        [601, { kind: 'change bank', meanwhile: null }],
        [700, { kind: 'host', held: 0 }],
        [701, { kind: 'change bank', meanwhile: up }],
        [702, { kind: 'change bank', meanwhile: null }],
        [703, { kind: 'host', held: 0 }],
        [704, { kind: 'change bank', meanwhile: null }],
      ],
    )
    expect(states.map((state) => state.bank)).toEqual([0, 0, 0, 0, 0, 0, 0, 0, 1])
    expect(states.slice(5, 7).map(({ inputs }) => inputsIn(inputs))).toEqual([['up'], ['up']])
  })
})
