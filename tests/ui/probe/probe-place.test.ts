import { describe, expect, it } from 'vitest'
import type { BankNumber } from '../../../src/adapter/constants.ts'
import { ok } from '../../../src/port/result.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { AdapterLink } from '../../../src/ui/adapter/adapter-link.svelte.ts'
import { LentBanks } from '../../../src/ui/probe/lent-banks.svelte.ts'
import { ChosenBank, TrialPlace } from '../../../src/ui/probe/probe-place.svelte.ts'
import { ModelAdapter } from '../../reference/adapter/model-adapter.ts'
import { modelTransport } from '../../reference/adapter/model-transport.ts'

const six = encodeImage(BUILT_IN_PROFILES['six-button'])
const three = encodeImage(BUILT_IN_PROFILES['three-button'])
const probe = encodeImage({ ...BUILT_IN_PROFILES['six-button'], name: 'Probe 1', idleResetNs: 400_000 })
const another = encodeImage({ ...BUILT_IN_PROFILES['six-button'], name: 'Probe 2', idleResetNs: 900_000 })

/** What is kept beside the shelf, as structured clones. */
function sides(isFull = false) {
  const kept = new Map<string, unknown>()
  return {
    kept,
    side: async (key: string) => structuredClone(kept.get(key)),
    setSide: async (key: string, value: unknown) => {
      if (!isFull) kept.set(key, structuredClone(value))
    },
  }
}

/** An adapter whose firmware has no trial slot, with six buttons in bank 1, active, and three in bank 2. */
async function bench(
  beside = sides(),
  box = new ModelAdapter({ factoryImage: six, identity: { protocol: { major: 1, minor: 1 } } }),
) {
  const link = new AdapterLink(
    async () => modelTransport(box),
    () => ok(modelTransport(box)),
  )
  await link.connectDemo()
  if (link.banks[1]?.content === null) await link.flash(2, three)
  const lent = new LentBanks(link, beside)
  let bank: BankNumber = 2
  const place = new ChosenBank(lent, () => bank)
  const choose = (other: BankNumber) => (bank = other)
  const names = () => link.banks.map(({ profile }) => profile?.name ?? null)
  return { link, box, beside, lent, place, choose, names }
}

const { name: SIX } = BUILT_IN_PROFILES['six-button']
const { name: THREE } = BUILT_IN_PROFILES['three-button']

describe('a bank that the user chooses', () => {
  it('gets what it held back, and the bank that was active, however many probes it had', async () => {
    const { link, lent, place, names } = await bench()
    expect(await place.put(probe)).toBe(true)
    expect([names(), link.activeBank?.bank]).toEqual([[SIX, 'Probe 1', null, null], 2])
    expect(await place.put(another)).toBe(true)
    expect([names(), lent.here.length]).toEqual([[SIX, 'Probe 2', null, null], 1])
    const [one] = lent.here
    if (!one) throw new Error('nothing was lent')
    expect(await lent.giveBack(one)).toBe(true)
    expect([names(), link.activeBank?.bank, lent.here]).toEqual([[SIX, THREE, null, null], 1, []])
    expect(link.banks[1]?.image).toEqual(three)
  })

  it('gets it back after a reload, too', async () => {
    const first = await bench()
    await first.place.put(probe)
    await first.link.disconnect()
    const { link, lent, names } = await bench(first.beside, first.box)
    await expect.poll(() => lent.here.map(({ bank }) => bank)).toEqual([2])
    const [one] = lent.here
    if (one) await lent.giveBack(one)
    expect([names(), link.activeBank?.bank]).toEqual([[SIX, THREE, null, null], 1])
  })

  it('gets it back where two tabs put probes into it in turn', async () => {
    const one = await bench()
    const other = await bench(one.beside, one.box)
    await other.link.disconnect()
    await one.link.connectDemo()
    expect(await one.place.put(probe)).toBe(true)
    await one.link.disconnect()
    await other.link.connectDemo()
    expect(await other.place.put(another)).toBe(true)
    const lent = other.lent.lentOf(2)
    expect(lent?.image).toEqual(three)
    if (lent) await other.lent.giveBack(lent)
    expect([other.names(), other.link.activeBank?.bank]).toEqual([[SIX, THREE, null, null], 1])
  })

  it('can be the active one, or an empty one', async () => {
    const { link, lent, place, choose, names } = await bench()
    choose(1)
    expect(await place.put(probe)).toBe(true)
    choose(3)
    expect(await place.put(another)).toBe(true)
    expect([names(), link.activeBank?.bank]).toEqual([['Probe 1', THREE, 'Probe 2', null], 3])
    const third = lent.lentOf(3)
    if (third) await lent.giveBack(third)
    const first = lent.lentOf(1)
    if (first) await lent.giveBack(first)
    // What was empty cannot be emptied again; the bank that answers is the one from before.
    expect([names(), link.activeBank?.bank]).toEqual([[SIX, THREE, 'Probe 2', null], 1])
    expect(lent.here).toEqual([])
  })

  it('is not written where nothing can be kept, until the user has it as a file', async () => {
    const { link, place, names } = await bench(sides(true))
    expect(await place.put(probe)).toBe(false)
    expect(place.refusal).toEqual({ kind: 'not-kept', bank: 2, image: three })
    expect(names()).toEqual([SIX, THREE, null, null])
    place.isSaved(three)
    expect(await place.put(probe)).toBe(true)
    expect([names()[1], place.refusal]).toEqual(['Probe 1', null])
    // What was flashed into it since is not in that file.
    await link.flash(2, six)
    expect(await place.put(probe)).toBe(false)
    expect(place.refusal).toEqual({ kind: 'not-kept', bank: 2, image: six })
    expect(names()[1]).toBe(SIX)
  })

  it('is not taken for lent once something else was flashed into it', async () => {
    const { link, lent, place } = await bench()
    await place.put(probe)
    await link.flash(2, six)
    expect(lent.here).toEqual([])
    // What is in it now is what is put back then.
    await place.put(probe)
    expect(lent.lentOf(2)?.image).toEqual(six)
  })

  it('keeps what it holds where the adapter goes in the midst, and is told by the link', async () => {
    const { link, box, lent, place, names } = await bench()
    const putting = place.put(probe)
    box.unplug()
    expect(await putting).toBe(false)
    expect(link.notice).not.toBeNull()
    box.plugIn()
    await link.connectDemo()
    expect([names(), lent.here]).toEqual([[SIX, THREE, null, null], []])
  })
})

describe('the trial slot', () => {
  it('takes a probe and touches no bank', async () => {
    const { link, names } = await bench(sides(), new ModelAdapter({ factoryImage: six }))
    expect(link.trial?.state).toBe('empty')
    const place = new TrialPlace(link)
    expect(await place.put(probe)).toBe(true)
    expect([names(), link.activeBank?.bank, link.trial?.state]).toEqual([
      [SIX, THREE, null, null],
      1,
      'armed',
    ])
    await link.forgetTrial()
    expect(link.trial?.state).toBe('empty')
  })

  it('is not there where the firmware is older', async () => {
    const { link } = await bench()
    expect(link.trial).toBeNull()
    expect(await new TrialPlace(link).put(probe)).toBe(false)
    expect(link.notice?.sentence).toContain('trial slot')
  })
})
