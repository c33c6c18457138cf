import fc from 'fast-check'
import { expect, test } from 'vitest'
import { BANK_NUMBERS } from '../../../src/adapter/constants.ts'
import type { BankNumber } from '../../../src/adapter/constants.ts'
import { Chip } from '../../../src/adapter/emulator/chip.ts'
import { chipClock, runUntilSettled } from '../../../src/adapter/emulator/run.ts'
import { chipTransport } from '../../../src/adapter/emulator/transport.ts'
import { identify } from '../../../src/adapter/session.ts'
import type { Connection, ConnectionListener } from '../../../src/adapter/transport.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { imageCrc } from '../../../src/profile/image-crc.ts'
import { badLine, chance } from './bad-line.ts'
import type { Line } from './fleet.ts'
import { arbRunnable } from './input-state-reference.ts'
import { flashWith } from './rig.ts'
import { draws } from '../../draws.ts'

/** The firmware on the emulated chip under fire: its USB, its link, its store and its flash chip in one. */

const SESSIONS = 1_000
/** After so many the power goes, and other images are in the banks. */
const SESSIONS_A_CHIP = 50
const MS = 1_000_000

const CLEAR = ['unplugged', 'stopped-answering', 'silent', 'not-ninepin', 'device-error']

/** A connection whose bytes go over bad lines. Nothing overtakes anything. */
class BadConnection implements Connection {
  readonly #chip: Chip
  readonly #good: Connection
  readonly #toDevice: Line
  readonly #toHost: Line
  #toDeviceFreeNs = 0
  #toHostFreeNs = 0
  #over = false

  constructor(chip: Chip, good: Connection, toDevice: Line, toHost: Line) {
    this.#chip = chip
    this.#good = good
    this.#toDevice = toDevice
    this.#toHost = toHost
  }

  listen(listener: ConnectionListener): void {
    this.#good.listen({
      bytes: (bytes) => {
        for (const { bytes: piece, lateMs } of this.#toHost(bytes)) {
          this.#toHostFreeNs = Math.max(this.#toHostFreeNs, this.#chip.nowNs + lateMs * MS)
          this.#chip.at(this.#toHostFreeNs, () => void (this.#over || listener.bytes(piece)))
        }
      },
      lost: () => listener.lost(),
    })
  }

  send(bytes: Uint8Array): void {
    for (const { bytes: piece, lateMs } of this.#toDevice(bytes)) {
      this.#toDeviceFreeNs = Math.max(this.#toDeviceFreeNs, this.#chip.nowNs + lateMs * MS)
      this.#chip.at(this.#toDeviceFreeNs, () => void (this.#over || this.#good.send(piece)))
    }
  }

  close(): Promise<void> {
    this.#over = true
    return this.#good.close()
  }
}

test(
  `${SESSIONS} faulty sessions on the chip: nothing wrong is ever committed, and a good line puts all right`,
  { timeout: 1_800_000 },
  async () => {
    const seed = Number(process.env['NINEPIN_SEED'] ?? Date.now() & 0x7fffffff)
    const images = fc
      .sample(arbRunnable, { numRuns: draws(100), seed })
      .map((profile) => encodeImage(profile))
    const ends = new Map<string, number>()
    const count = (end: string) => ends.set(end, (ends.get(end) ?? 0) + 1)
    let chipMs = 0

    for (let first = 0; first < SESSIONS; first += SESSIONS_A_CHIP) {
      const pick = chance(seed + first)
      const banks = BANK_NUMBERS.map(() => images[pick(images.length)] as Uint8Array)
      const chip = new Chip({ flash: flashWith(banks) })
      const settled = <T>(work: Promise<T>) => runUntilSettled(chip, work)
      const openLine = async () => {
        const connection = await settled(chipTransport(chip).open())
        if (!connection.ok) throw new Error(connection.error.kind)
        return connection.value
      }
      chip.runFor(25 * MS)

      for (let number = first; number < Math.min(first + SESSIONS_A_CHIP, SESSIONS); number++) {
        const next = chance(seed ^ Math.imul(number, 0x9e3779b1))
        const bank = BANK_NUMBERS[next(BANK_NUMBERS.length)] as BankNumber
        const isImage = next(20) !== 0
        const good = images[next(images.length)] as Uint8Array
        const wanted = isImage ? good : good.with(40, (good[40] ?? 0) ^ 1)
        const old = banks[bank - 1] as Uint8Array
        const percent = next(50)
        const told = `seed ${seed}, session ${number}`
        const check = (fair: boolean, what: string) => {
          if (!fair) throw new Error(`${what} (${told})`)
        }

        const lines = [
          badLine(seed ^ (2 * number), percent, 5),
          badLine(seed ^ (2 * number + 1), percent, 5),
        ] as const
        const met = await settled(
          identify(new BadConnection(chip, await openLine(), ...lines), chipClock(chip)),
        )
        // Now and then the cable is pulled amid the flash.
        const pull = next(12) === 0 ? chip.at(chip.nowNs + next(300) * MS, () => chip.usb.detach()) : null
        const flashed = met.ok ? await settled(met.value.flash(bank, wanted)) : met
        if (met.ok) await settled(met.value.close())
        pull?.cancel()
        if (flashed.ok) check(isImage, 'something that is no image was flashed')
        else check(CLEAR.includes(flashed.error.kind), `the session ended with ${flashed.error.kind}`)
        if (!flashed.ok && flashed.error.kind === 'device-error') {
          const why = flashed.error.error.name
          check(why === 'not an image' && !isImage, `the device refused: ${why}`)
        }
        count(flashed.ok ? 'flashed' : flashed.error.kind)

        const again = await settled(identify(await openLine(), chipClock(chip)))
        if (!again.ok) throw new Error(`after the fire: ${again.error.kind} (${told})`)
        const readBack = await settled(again.value.readBank(bank))
        if (!readBack.ok) throw new Error(`after the fire: ${readBack.error.kind} (${told})`)
        const held = readBack.value ?? new Uint8Array()
        const isNew = Buffer.compare(held, wanted) === 0
        check(isNew || Buffer.compare(held, old) === 0, 'the bank holds a third image')
        check(!flashed.ok || isNew, 'what was flashed is not there')
        check(isImage || !isNew, 'something that is no image was committed')
        banks[bank - 1] = held
        const status = await settled(again.value.status())
        if (!status.ok) throw new Error(`after the fire: ${status.error.kind} (${told})`)
        status.value.banks.forEach(({ content }, k) => {
          const image = banks[k] as Uint8Array
          const same = content?.length === image.length && content.crc32 === imageCrc(image)
          check(same, `bank ${k + 1} has changed`)
        })
        await settled(again.value.close())
        check(chip.usb.faults.length === 0, chip.usb.faults.join(', '))
        check(chip.watchdogResets === 0, 'the watchdog bit')
      }
      chipMs += chip.nowNs / MS
    }

    const list = [...ends].sort(([, a], [, b]) => b - a).map(([end, times]) => `${end} ${times}`)
    console.log(`chip under fire, seed ${seed}, ${Math.round(chipMs)} ms of its time: ${list.join(', ')}`)
    expect(ends.get('flashed')).toBeGreaterThan(SESSIONS / 10)
    expect(ends.get('flashed')).toBeLessThan((9 * SESSIONS) / 10)
  },
)
