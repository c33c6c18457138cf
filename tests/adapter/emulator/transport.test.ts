import { describe, expect, it } from 'vitest'
import { Chip } from '../../../src/adapter/emulator/chip.ts'
import { runInRealTime } from '../../../src/adapter/emulator/run-real-time.ts'
import { chipClock, runUntilSettled } from '../../../src/adapter/emulator/run.ts'
import { chipTransport } from '../../../src/adapter/emulator/transport.ts'
import { connect } from '../../../src/adapter/session.ts'
import type { Adapter } from '../../../src/adapter/session.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { flashWith } from '../firmware/rig.ts'

const images = Object.values(BUILT_IN_PROFILES).map((profile) => encodeImage(profile))
const freshChip = (): Chip => new Chip({ flash: flashWith() })

/** An adapter that answers, and the chip it is. */
async function connected(chip = freshChip()): Promise<{ chip: Chip; adapter: Adapter }> {
  const adapter = await runUntilSettled(chip, connect(chipTransport(chip), chipClock(chip)))
  if (!adapter.ok) throw new Error(adapter.error.kind)
  return { chip, adapter: adapter.value }
}

describe('an emulated adapter behind a transport', () => {
  it('plugs itself in, says who it is, is flashed, and keeps that without power', async () => {
    const { chip, adapter } = await connected()
    expect(chip.usb.faults).toEqual([])
    const image = images[1] as Uint8Array
    const flashed = await runUntilSettled(chip, adapter.flash(2, image))
    expect(flashed.ok).toBe(true)
    expect(chip.flash.operations.filter(({ kind }) => kind === 'erase').length).toBeGreaterThanOrEqual(2)
    await runUntilSettled(chip, adapter.close())
    const later = await connected(chip.powerCycle())
    const read = await runUntilSettled(later.chip, later.adapter.readBank(2))
    expect(read).toEqual({ ok: true, value: image })
    expect(later.chip.usb.faults).toEqual([])
  })

  it('belongs to one at a time, and can be opened again', async () => {
    const { chip, adapter } = await connected()
    const second = await runUntilSettled(chip, connect(chipTransport(chip), chipClock(chip)))
    expect(second).toEqual({ ok: false, error: { kind: 'held' } })
    await runUntilSettled(chip, adapter.close())
    const third = await runUntilSettled(chip, connect(chipTransport(chip), chipClock(chip)))
    expect(third.ok).toBe(true)
  })

  it('is lost with its cable', async () => {
    const { chip, adapter } = await connected()
    chip.at(chip.nowNs + 1_000_000, () => chip.usb.detach())
    expect(await runUntilSettled(chip, adapter.ended)).toEqual({ kind: 'unplugged' })
  })

  it('is nobody without firmware', async () => {
    const chip = new Chip({ flash: new Uint8Array() })
    const nobody = await runUntilSettled(chip, connect(chipTransport(chip), chipClock(chip)))
    expect(nobody).toEqual({ ok: false, error: { kind: 'unplugged-while-opening' } })
  })

  it('is given up by whoever waits for something that does not come', async () => {
    const chip = new Chip({ flash: new Uint8Array() })
    await expect(runUntilSettled(chip, new Promise(() => {}), 5e6)).rejects.toThrow('nothing came')
  })
})

describe('time beside the wall', () => {
  it('follows it, leaves out what it cannot make up for, and stops at a trap', () => {
    let wall = 1000
    let step = (): void => {}
    let stopped = 0
    const chip = new Chip({ flash: new Uint8Array() })
    const failures: unknown[] = []
    const run = runInRealTime(
      () => chip,
      (error) => failures.push(error),
      {
        now: () => wall,
        every: ((act: () => void) => {
          step = act
          return 1
        }) as unknown as typeof setInterval,
        never: (() => (stopped += 1)) as unknown as typeof clearInterval,
      },
    )
    wall += 4
    step()
    expect(chip.nowNs).toBe(4_000_000)
    wall += 500
    step()
    expect(chip.nowNs).toBe(104_000_000)
    expect(run.lostMs).toBe(400)
    chip.runFor = () => {
      throw new Error('trapped')
    }
    step()
    expect([failures.length, stopped]).toEqual([1, 1])
  })
})
