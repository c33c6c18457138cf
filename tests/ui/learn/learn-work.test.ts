import { afterEach, describe, expect, it } from 'vitest'
import { controlMask } from '../../../src/pad/controls.ts'
import type { Ask } from '../../../src/pad/learn/controls-to-ask.ts'
import { ASKS } from '../../../src/pad/learn/controls-to-ask.ts'
import { chooseHid } from '../../../src/ui/learn/hid-source.ts'
import { asksFor, learnWork as work } from '../../../src/ui/learn/learn-work.svelte.ts'
import { FakeHid, FakeHidDevice } from './fake-hid.ts'
import { FakePace, Player } from './learning.ts'

/** What the player does for each ask; nothing where the pad has no such control. */
const BYTES: Readonly<Record<string, Readonly<Record<number, number>>>> = {
  'dpad-up': { 0: 0 },
  'dpad-right': { 0: 2 },
  'dpad-down': { 0: 4 },
  'dpad-left': { 0: 6 },
  'face-south': { 1: 0b10 },
  'face-east': { 1: 0b1 },
  'face-west': { 2: 0b1000_0000 },
}

async function begin() {
  const hid = new FakeHid()
  const device = new FakeHidDevice()
  hid.chooses = [device]
  const chosen = await chooseHid(hid, false)
  if (!chosen.ok) throw new Error(chosen.error)
  const pace = new FakePace()
  expect(await work.begin(chosen.value, pace)).toBeNull()
  const player = new Player(device, pace)
  const { session, draft } = work
  if (!session || !draft) throw new Error('there is a session')
  return { hid, device, pace, player, session, draft }
}

type Bench = Awaited<ReturnType<typeof begin>>

function answer({ player, session }: Bench, ask: Ask): void {
  const bytes = ask.kind === 'press' ? BYTES[ask.control] : undefined
  if (bytes) player.press(bytes)
  else if (ask.kind === 'push' && ask.stick === 'left') player.press(ask.way === 'up' ? { 4: 2 } : { 3: 254 })
  else if (ask.kind === 'roll' && ask.stick === 'left') player.roll()
  else session.skip()
  // Skipping waits for everything to be let go as well.
  player.rest(200)
}

/** Does everything that is asked until nothing is asked any more. */
function answerAll(bench: Bench): void {
  bench.player.rest(1200)
  for (let k = 0; k < 60 && bench.session.view.phase === 'ask'; k++) {
    const { ask } = bench.session.view
    if (ask) answer(bench, ask)
  }
  expect(bench.session.view.phase).toBe('done')
}

afterEach(() => work.discard())

describe('learning a pad by pressing', () => {
  it('finds where everything stands, from the browser’s list to a layout', async () => {
    const bench = await begin()
    expect(work.stage).toBe('asking')
    answerAll(bench)
    work.collect()
    expect(work.stage).toBe('outcome')
    expect(bench.draft.name).toBe('Loan pad')
    const { layout } = bench.draft
    expect(layout?.pad).toEqual({ via: 'hid', vendorId: 0x1209, productId: 1, descriptorCrc32: null })
    expect(layout?.extractors.filter(({ kind }) => kind !== 'axis')).toEqual([
      {
        kind: 'hat',
        cross: 'dpad',
        field: { report: 0, bit: 0, bits: 4, signed: false },
        first: 0,
        step: 1,
        positions: 8,
      },
      ...[
        ['face-south', 9],
        ['face-east', 8],
        ['face-west', 23],
      ].map(([control, bit]) => ({
        kind: 'threshold',
        control,
        field: { report: 0, bit, bits: 1, signed: false },
        press: 1,
        release: 0,
      })),
    ])
    expect(
      layout?.extractors.flatMap((one) =>
        one.kind === 'axis' ? [[one.stick, one.axis, one.field.bit]] : [],
      ),
    ).toEqual(
      expect.arrayContaining([
        ['left', 'x', 24],
        ['left', 'y', 32],
      ]),
    )
    expect(work.missing.map((ask) => (ask.kind === 'press' ? ask.control : ask.stick))).toContain(
      'face-north',
    )
    expect(work.missing.some((ask) => ask.kind !== 'press' && ask.stick === 'left')).toBe(false)

    // And at once it can be tried.
    bench.session.try(layout)
    bench.device.send({ 1: 0b10, 0: 1 })
    expect(bench.session.held).toBe(controlMask(['face-south', 'dpad-up', 'dpad-right']))
  })

  it('learns one control again, and leaves the others as they are', async () => {
    const bench = await begin()
    answerAll(bench)
    work.collect()
    const before = bench.draft.extractors
    const south = before.find((one) => one.kind === 'threshold' && one.control === 'face-south')
    if (!south) throw new Error('it was found')
    work.ask(asksFor(south))
    expect(work.stage).toBe('asking')
    bench.player.rest(1200)
    bench.player.press({ 2: 0b1 })
    work.collect()
    expect(bench.draft.extractors.length).toBe(before.length)
    expect(bench.draft.extractors).toEqual(
      expect.arrayContaining([
        ...before.filter((one) => one !== south),
        { ...south, field: { ...south.field, bit: 16 } },
      ]),
    )
  })

  it('keeps everything when the pad goes, and goes on when it is back', async () => {
    const bench = await begin()
    const { hid, device, player, session } = bench
    player.rest(1200)
    for (let k = 0; k < 5; k++) if (session.view.ask) answer(bench, session.view.ask)
    expect(session.view.answers.length).toBe(5)
    hid.unplug(device)
    expect([session.view.phase, session.isHere]).toEqual(['lost', false])
    player.pace.frame(5000)
    const again = new FakeHidDevice()
    hid.plug(again)
    await expect.poll(() => [session.isHere, again.opened]).toEqual([true, true])
    player.device = again
    player.rest()
    expect([session.view.phase, session.view.answers.length]).toEqual(['ask', 5])
    if (session.view.ask) answer(bench, session.view.ask)
    expect(session.view.answers.length).toBe(6)
  })

  it('asks the browser’s list once more for a pad that it forgot', async () => {
    const { hid, device, session } = await begin()
    hid.unplug(device)
    const again = new FakeHidDevice()
    hid.chooses = []
    await session.chooseAgain()
    expect(session.fault).toMatch(/Nothing was chosen/)
    hid.chooses = [again]
    await session.chooseAgain()
    expect([session.fault, session.isHere, again.opened]).toEqual(['', true, true])
    expect(hid.asked.at(-1)).toMatchObject([{ vendorId: 0x1209, productId: 1 }])
  })

  it('waits while nobody looks, and closes the pad', async () => {
    const bench = await begin()
    bench.player.rest(1200)
    answer(bench, bench.session.view.ask ?? (ASKS[0] as Ask))
    await bench.session.stop()
    expect([bench.device.opened, bench.hid.listened]).toEqual([false, 0])
    await bench.session.start()
    bench.player.rest()
    expect([bench.session.view.phase, bench.session.view.answers.length]).toEqual(['ask', 1])
    expect(work.hasWork).toBe(true)
    await work.discard()
    expect([work.hasWork, work.stage, bench.device.opened]).toEqual([false, 'sources', false])
  })
})

describe('learning from a report descriptor', () => {
  /** A joystick of two buttons and two axes, written by the tables of HID 1.11 section 6.2.2. */
  const DESCRIPTOR = Uint8Array.from(
    (
      '05 01 09 04 a1 01 05 09 19 01 29 02 15 00 25 01 75 01 95 02 81 02 95 06 81 03 ' +
      '05 01 09 30 09 31 15 81 25 7f 75 08 95 02 81 02 c0'
    )
      .split(' ')
      .map((byte) => parseInt(byte, 16)),
  )
  const identity = { vendorId: 0x1209, productId: 2 }

  it('gives a layout to set right, without a pad', async () => {
    expect(await work.describe({ identity, descriptor: DESCRIPTOR })).toBeNull()
    expect([work.stage, work.session]).toEqual(['outcome', null])
    expect(work.places.map(({ label, place }) => [label, place.field.bit])).toEqual([
      ['Button 1', 0],
      ['Button 2', 1],
      ['X', 8],
      ['Y', 16],
    ])
    expect(work.draft?.layout?.pad).toMatchObject({ via: 'hid', ...identity })
    expect(work.draft?.extractors.map(({ kind }) => kind).toSorted()).toEqual([
      'axis',
      'axis',
      'threshold',
      'threshold',
    ])
  })

  it('says which byte is wrong, and throws nothing away', async () => {
    await work.describe({ identity, descriptor: DESCRIPTOR })
    const { draft } = work
    expect(await work.describe({ identity, descriptor: DESCRIPTOR.slice(0, 25) })).toMatch(/^Byte \d+: .*\.$/)
    expect(work.draft).toBe(draft)
  })
})
