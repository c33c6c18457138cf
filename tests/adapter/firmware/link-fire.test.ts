import fc from 'fast-check'
import { expect, test } from 'vitest'
import { BANK_NUMBERS, PROTOCOL } from '../../../src/adapter/constants.ts'
import type { BankNumber } from '../../../src/adapter/constants.ts'
import type { Identity } from '../../../src/adapter/replies.ts'
import { identify } from '../../../src/adapter/session.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { describeWith } from '../../tools.ts'
import { BENCH_IDENTITY } from '../bench-link.ts'
import { badLine, chance } from './bad-line.ts'
import { Fleet, FleetConnection, FleetDevice } from './fleet.ts'
import { arbRunnable } from './input-state-reference.ts'
import { HOST_COMPILER } from './host-program.ts'

const SESSIONS = 100_000
/** So many at a time share one crossing of the pipe. */
const AT_ONCE = 2_000
/** Time goes in these steps, so that many sessions have something to say in the same instant. */
const STEP_MS = 50
const IMAGES = 400

const IDENTITY: Identity = { ...BENCH_IDENTITY, protocol: PROTOCOL }

/** Everything that may come of a link that flips, drops, doubles, cuts, invents and delays bytes, or goes. */
const CLEAR = ['unplugged', 'stopped-answering', 'silent', 'not-ninepin', 'device-error']

describeWith('the link in C under fire', [HOST_COMPILER], () => {
  test(
    `${SESSIONS} faulty sessions: nothing wrong is ever committed, and a good line puts all right`,
    { timeout: 600_000 },
    async () => {
      const seed = Number(process.env['NINEPIN_SEED'] ?? Date.now() & 0x7fffffff)
      const fleet = new Fleet({ watched: false })
      const images = fc.sample(arbRunnable, { numRuns: IMAGES, seed }).map((profile) => encodeImage(profile))
      const ends = new Map<string, number>()
      const count = (end: string) => ends.set(end, (ends.get(end) ?? 0) + 1)

      async function session(slot: number, number: number): Promise<void> {
        const next = chance(seed + number)
        const pick = () => images[next(images.length)] as Uint8Array
        const bank = BANK_NUMBERS[next(BANK_NUMBERS.length)] as BankNumber
        const before = BANK_NUMBERS.map(pick)
        // Now and then something that is no image: its own CRC is wrong, and only the device can tell.
        const isImage = next(20) !== 0
        const good = pick()
        const wanted = isImage ? good : good.with(40, (good[40] ?? 0) ^ 1)
        const percent = next(61)
        const failing = next(20) === 0

        const device = new FleetDevice(fleet, slot)
        const workMs = STEP_MS * (next(3) === 0 ? next(18) : next(3))
        device.start({ identity: IDENTITY, active: next(4), banks: before, workMs, memoryFails: failing })
        const connection = new FleetConnection(fleet, device, {
          toDevice: badLine(seed ^ (2 * number), percent, STEP_MS),
          toHost: badLine(seed ^ (2 * number + 1), percent, STEP_MS),
          ...(next(12) === 0 ? { cutAtSend: 1 + next(12) } : {}),
        })
        const met = await identify(connection, fleet)
        const flashed = met.ok ? await met.value.flash(bank, wanted) : met
        if (met.ok) await met.value.close()

        const same = (a: Uint8Array | null | undefined, b: Uint8Array) =>
          a !== null && a !== undefined && Buffer.compare(a, b) === 0
        const told = `seed ${seed}, session ${number}`
        const check = (fair: boolean, what: string) => {
          if (!fair) throw new Error(`${what} (${told})`)
        }
        check(connection.closes === 1, `the connection was closed ${connection.closes} times`)
        if (flashed.ok) check(isImage && !failing, 'a flash went well that cannot have')
        else check(CLEAR.includes(flashed.error.kind), `the session ended with ${flashed.error.kind}`)
        if (!flashed.ok && flashed.error.kind === 'device-error') {
          const why = flashed.error.error.name
          const fair = (why === 'not an image' && !isImage) || (why === 'memory failed' && failing)
          check(fair, `the device refused: ${why}`)
        }
        count(flashed.ok ? 'flashed' : flashed.error.kind)

        // The next host, over a good line. It meets the device with a commit perhaps still going on.
        const again = await identify(new FleetConnection(fleet, device), fleet)
        if (!again.ok) throw new Error(`after the fire: ${again.error.kind} (${told})`)
        const readBack = await again.value.readBank(bank)
        if (!readBack.ok) throw new Error(`after the fire: ${readBack.error.kind} (${told})`)
        const old = before[bank - 1] as Uint8Array
        check(same(readBack.value, wanted) || same(readBack.value, old), 'the bank holds a third image')
        check(!flashed.ok || same(readBack.value, wanted), 'what was flashed is not there')
        check(
          isImage && !failing ? true : same(readBack.value, old),
          'something was committed that cannot be',
        )
        if (number % 8 === 0 && isImage) {
          device.memory(workMs, false)
          const last = await again.value.flash(bank, wanted)
          check(last.ok, `a good line did not flash: ${last.ok ? '' : last.error.kind}`)
        }
        const changed = await device.changedBanks()
        check((changed & ~(1 << (bank - 1))) === 0, `another bank has changed (${changed})`)
        await again.value.close()
      }

      for (let first = 0; first < SESSIONS; first += AT_ONCE)
        await fleet.run(Array.from({ length: AT_ONCE }, (_, slot) => session(slot, first + slot)))
      await fleet.stop()

      const list = [...ends].sort(([, a], [, b]) => b - a).map(([end, times]) => `${end} ${times}`)
      console.log(`link under fire, seed ${seed}: ${list.join(', ')}`)
      expect(new Set(ends.keys())).toEqual(new Set(['flashed', ...CLEAR]))
      // A fire in which nothing burns, or nothing is left, would say little.
      expect(ends.get('flashed')).toBeGreaterThan(SESSIONS / 10)
      expect(ends.get('flashed')).toBeLessThan((9 * SESSIONS) / 10)
    },
  )
})
