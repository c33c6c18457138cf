import { describe, expect, it } from 'vitest'
import { ModelAdapter } from '../../reference/adapter/model-adapter.ts'
import { modelTransport } from '../../reference/adapter/model-transport.ts'
import { sentenceFor } from '../../../src/adapter/troubles.ts'
import { OUR_STATED } from '../../../src/bench/stated.ts'
import { controlMask } from '../../../src/pad/controls.ts'
import { err, ok } from '../../../src/port/result.ts'
import { maskOf } from '../../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { AdapterLink } from '../../../src/ui/adapter/adapter-link.svelte.ts'

const six = encodeImage(BUILT_IN_PROFILES['six-button'])
const three = encodeImage(BUILT_IN_PROFILES['three-button'])

/** Everything runs over the model adapter's own link; a box is a second model, plugged in and out. */
function bench() {
  const demo = new ModelAdapter({ factoryImage: six })
  const box = new ModelAdapter({
    factoryImage: three,
    identity: { board: 'A box', replyMinNs: 40, replyMaxNs: 300 },
  })
  const link = new AdapterLink(
    () => Promise.resolve(modelTransport(demo)),
    () => ok(modelTransport(box)),
  )
  return { link, box, demo }
}

async function until(holds: () => boolean): Promise<void> {
  for (let k = 0; k < 500 && !holds(); k++) await new Promise((resolve) => setTimeout(resolve, 2))
  expect(holds()).toBe(true)
}

describe('the demo adapter', () => {
  it('opens with the six-button image in bank 1 and the reference figures', async () => {
    const { link } = bench()
    await link.connectDemo()
    expect([link.state, link.demo, link.activeBank?.bank]).toEqual(['open', true, 1])
    expect(link.activeBank?.profile?.name).toBe('Six buttons')
    expect(link.stated).toEqual(OUR_STATED)
    expect(link.banks.map(({ content }) => content !== null)).toEqual([true, false, false, false])
  })

  it('sends presses all the way and reports what the port is given', async () => {
    const { link } = bench()
    await link.connectDemo()
    link.hold(controlMask(['dpad-down', 'face-west']))
    await until(() => link.live?.inputs === maskOf(['down', 'a']))
    link.hold(0)
    await until(() => link.live?.inputs === 0)
  })

  it('flashes and reads back, and still has it when the link is opened again', async () => {
    const { link, demo } = bench()
    await link.connectDemo()
    link.chooseBank(3)
    const flashed = await link.flash(3, three)
    expect(flashed).toMatchObject({ place: 3, before: null, comparedBytes: three.length })
    expect(link.target).toMatchObject({ bank: 3, profile: { name: 'Three buttons' } })
    await link.setActive(3)
    expect(link.activeBank?.bank).toBe(3)

    await link.disconnect()
    const again = new AdapterLink(
      () => Promise.resolve(modelTransport(demo)),
      () => err({ kind: 'nothing-chosen' }),
    )
    await again.connectDemo()
    expect(again.activeBank).toMatchObject({ bank: 3, profile: { name: 'Three buttons' } })
  })

  it('says so when its firmware cannot be loaded, and can be started again', async () => {
    let loads = 0
    const { demo } = bench()
    const link = new AdapterLink(
      () => (loads++ === 0 ? Promise.reject(new Error('no network')) : Promise.resolve(modelTransport(demo))),
      () => err({ kind: 'nothing-chosen' }),
    )
    await link.connectDemo()
    expect(link.state).toBe('none')
    expect(link.notice?.sentence).toContain('its firmware could not be loaded')
    link.notice?.retry()
    await until(() => link.state === 'open')
  })
})

describe('an adapter of mine', () => {
  it('takes the demo’s place, and its figures count', async () => {
    const { link } = bench()
    await link.connectDemo()
    await link.connectMine()
    expect([link.demo, link.identity?.board]).toEqual([false, 'A box'])
    expect(link.stated.replyNs).toEqual({ minNs: 40, maxNs: 300 })
  })

  it('is not played by this page', async () => {
    const { link, box } = bench()
    await link.connectMine()
    link.hold(controlMask(['dpad-down']))
    await new Promise((resolve) => setTimeout(resolve, 20))
    expect(box.inputs).toBe(0)
    box.hold(controlMask(['dpad-up']))
    await until(() => link.live?.inputs === maskOf(['up']))
  })

  it('leaves what was connected when it cannot be opened, and can be tried again', async () => {
    const { link, box } = bench()
    await link.connectDemo()
    box.unplug()
    await link.connectMine()
    expect([link.state, link.demo]).toEqual(['open', true])
    expect(link.notice?.sentence).toBe(sentenceFor({ kind: 'unplugged-while-opening' }))
    box.plugIn()
    link.notice?.retry()
    await until(() => link.state === 'open' && !link.demo && link.banks.length === 4)
    expect(link.notice).toBeNull()
  })

  it('says so when it goes in the middle, and comes back without a reload', async () => {
    const { link, box } = bench()
    await link.connectMine()
    const flashing = link.flash(2, six)
    box.unplug()
    expect(await flashing).toBeNull()
    await until(() => link.state === 'none')
    expect(link.notice?.sentence).toBe(sentenceFor({ kind: 'unplugged' }))
    expect([link.flashing, link.banks.length, link.live]).toEqual([null, 0, null])
    expect(link.stated).toEqual(OUR_STATED)
    box.plugIn()
    link.notice?.retry()
    await until(() => link.banks.length === 4)
    expect(await link.flash(2, six)).toMatchObject({ place: 2 })
  })

  it('keeps the old content of a bank when flashing is cancelled', async () => {
    const { link } = bench()
    await link.connectMine()
    const flashing = link.flash(1, six)
    link.cancelFlash()
    expect(await flashing).toBeNull()
    expect(link.notice?.sentence).toBe(sentenceFor({ kind: 'cancelled', place: 1 }))
    expect(link.activeBank?.profile?.name).toBe('Three buttons')
    link.notice?.retry()
    await until(() => link.activeBank?.profile?.name === 'Six buttons')
  })

  it('is free for others once it is disconnected', async () => {
    const { link, box } = bench()
    await link.connectMine()
    await link.disconnect()
    expect(link.state).toBe('none')
    expect((await modelTransport(box).open()).ok).toBe(true)
  })

  it('is reported when the browser has no way to one', async () => {
    const link = new AdapterLink(
      () => Promise.resolve(modelTransport(new ModelAdapter({ factoryImage: six }))),
      () => err({ kind: 'no-device-api', secure: true }),
    )
    await link.connectMine()
    expect(link.notice?.sentence).toContain('This browser cannot reach serial or USB devices')
  })
})
