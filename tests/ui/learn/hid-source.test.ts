import { describe, expect, it } from 'vitest'
import { HidSource, chooseHid } from '../../../src/ui/learn/hid-source.ts'
import { FakeHid, FakeHidDevice } from './fake-hid.ts'

const listener = { report: () => undefined, here: () => undefined }

async function refusal(prepare: (hid: FakeHid) => void, every = false): Promise<string> {
  const hid = new FakeHid()
  prepare(hid)
  const chosen = await chooseHid(hid, every)
  return chosen.ok ? '' : chosen.error
}

describe('choosing a pad in the browser’s list', () => {
  it('shows joysticks, gamepads and multi-axis controllers, or every device', async () => {
    // HID Usage Tables, Generic Desktop page: 0x04 joystick, 0x05 gamepad, 0x08 multi-axis controller.
    const hid = new FakeHid()
    await chooseHid(hid, false)
    await chooseHid(hid, true)
    expect(hid.asked[0]?.map((filter) => ('usage' in filter ? filter.usage : 0)).toSorted()).toEqual([
      4, 5, 8,
    ])
    expect(hid.asked[1]).toEqual([])
  })

  it('says what to do where nothing was chosen, or asking is forbidden', async () => {
    // WICG WebHID, requestDevice(): a closed list gives no device; a page that may not ask gets a SecurityError.
    expect(await refusal(() => undefined)).toMatch(/Nothing was chosen.*another way/)
    expect(await refusal((hid) => (hid.chooses = new DOMException('', 'SecurityError')))).toMatch(
      /does not let this page ask.*other ways/,
    )
  })

  it('takes the interface that says it is a pad', async () => {
    const hid = new FakeHid()
    const pad = new FakeHidDevice()
    hid.chooses = [new FakeHidDevice({ collections: [{ usagePage: 1, usage: 6, inputReports: [] }] }), pad]
    const chosen = await chooseHid(hid, true)
    expect(chosen.ok && (await chosen.value.start(listener))).toBeNull()
    expect(pad.opened).toBe(true)
    if (chosen.ok) await chosen.value.stop()
  })

  it('refuses what sends nothing that could be a control', async () => {
    const lights = new FakeHidDevice({ collections: [{ usagePage: 1, usage: 5, inputReports: [] }] })
    expect(await refusal((hid) => (hid.chooses = [lights]))).toMatch(/^This device .*\.$/)
  })

  it('says so where the system refuses the pad, and leaves nothing open', async () => {
    const hid = new FakeHid()
    const device = new FakeHidDevice()
    device.refuses = new DOMException('', 'NotAllowedError')
    const source = new HidSource(hid, device, [])
    expect(await source.start(listener)).toMatch(/does not let this browser open the pad/)
    await source.stop()
    expect([device.closes, hid.listened]).toEqual([0, 0])
  })

  it('shares the device with who plays on it', async () => {
    const hid = new FakeHid()
    const device = new FakeHidDevice()
    const [one, other] = [new HidSource(hid, device, []), new HidSource(hid, device, [])]
    await Promise.all([one.start(listener), other.start(listener)])
    expect(device.opened).toBe(true)
    await one.stop()
    expect(device.opened).toBe(true)
    await other.stop()
    expect([device.opened, device.closes]).toEqual([false, 1])
  })
})
