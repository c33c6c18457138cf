import fc from 'fast-check'
import { crc32 as zlibCrc32 } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { FLASH_MAP } from '../../../src/adapter/flash-map.ts'
import { copyAt } from '../../../src/adapter/flash-places.ts'
import { PadMemoryModel } from '../../reference/adapter/pad-memory.ts'
import { decodeLastActivity } from '../../../src/adapter/pad-history.ts'
import { MAX_ACTIVITY_BYTES, PAD_OUTCOMES } from '../../../src/adapter/constants.ts'
import type { LastActivity, PadRecord } from '../../../src/adapter/pad-history.ts'
import { describeWith } from '../../tools.ts'
import { HOST_COMPILER, HostProgram, Message } from './host-program.ts'
import { draws, often } from '../../draws.ts'

type Command = readonly [letter: string, a?: number, b?: number, c?: number]

let host: HostProgram

async function tell(commands: readonly Command[]): Promise<string[]> {
  const message = new Message()
  for (const [letter, a = 0, b = 0, c = 0] of commands)
    message.bytes(Buffer.from(letter)).u32(a).u32(b).u32(c)
  return Buffer.from(await host.ask(message.done()))
    .toString()
    .split('\n')
    .slice(0, -1)
}

/** What pad-memory-host.c makes of a seed: xorshift, as there. */
function made(seed: number, bytes: number): Uint8Array {
  let chance = (Math.imul(seed, 2654435761) + 1) >>> 0
  return Uint8Array.from({ length: bytes }, () => {
    chance = (chance ^ (chance << 13)) >>> 0
    chance = (chance ^ (chance >>> 17)) >>> 0
    chance = (chance ^ (chance << 5)) >>> 0
    return chance & 0xff
  })
}

const hex8 = (value: number) => value.toString(16).padStart(8, '0')
/** A pad as the list has it. The CRC is zlib's. */
const listed = (number: number, outcome: number, bytes: number): string => {
  const descriptor = made(number, Math.min(bytes, 2048))
  return [outcome, (number * 257) & 0xffff, number, descriptor.length, hex8(zlibCrc32(descriptor))].join(':')
}

const padOf = (number: number, outcome: number, bytes: number): PadRecord => ({
  via: number % 2 === 0 ? 'hid' : 'vendor',
  outcome: PAD_OUTCOMES[outcome] ?? 'unlisted',
  vendorId: (number * 257) & 0xffff,
  productId: number,
  release: 0x100,
  descriptorCrc32: zlibCrc32(made(number, bytes)),
})

const pads = (line: string | undefined): string[] => (line ?? '').split(' ').filter((pad) => pad !== '')
const seenOf = (line: string | undefined): LastActivity | null => {
  const bytes = Uint8Array.from(Buffer.from(line ?? '', 'hex'))
  if (bytes.length === 0) return null
  const seen = decodeLastActivity(bytes)
  if (!seen.ok) throw new Error(`what was seen last is ${seen.error}`)
  return seen.value
}
const sum = (line: string | undefined) => (line ?? '').split(' ').reduce((all, part) => all + Number(part), 0)

/** A pad comes, does something, and is there for so long. */
const watched = (number: number, ms: number): Command[] => [
  ['g', number, 0, 100],
  ['e', number, 8],
  ['d', 4],
  ['t', ms, number, 1],
]

describeWith('what the firmware keeps of pads', [HOST_COMPILER], () => {
  beforeAll(() => {
    host = HostProgram.start('pad-memory-host.c', [
      'pad-memory.c',
      'pad-history.c',
      'last-activity.c',
      'record.c',
      'store.c',
      'crc32.c',
    ])
  }, 60_000)
  afterAll(() => host.stop())

  test('a blank flash holds nothing, and nothing is written', async () => {
    expect(await tell([['n'], ['l'], ['s'], ['m'], ['o']])).toEqual(['', '', 'idle', '0 0'])
  })

  describe('pads met', () => {
    test('are there after power came on again, with their descriptors, the newest first', async () => {
      const answers = await tell([
        ['n'],
        ['g', 1, 0, 0],
        ['m'],
        ['g', 2, 1, 2048],
        ['m'],
        ['g', 3, 5, 77],
        ['m'],
        ['l'],
        ['p'],
        ['l'],
      ])
      const list = [listed(3, 5, 77), listed(2, 1, 2048), listed(1, 0, 0)].join(' ')
      expect(answers.slice(3)).toEqual([list, list])
    })

    test('of a descriptor that is too long the first 2048 bytes are kept', async () => {
      const answers = await tell([['n'], ['g', 9, 1, 5000], ['m'], ['p'], ['l']])
      expect(answers[1]).toBe(listed(9, 1, 5000))
    })

    test('the same pad again writes nothing; another outcome, descriptor or length is written', async () => {
      const answers = await tell([
        ['n'],
        ...[['g', 1, 0, 90] as const, ['m'] as const, ['o'] as const],
        ...[['g', 1, 0, 90] as const, ['m'] as const, ['o'] as const],
        ['p'],
        ...[['g', 1, 0, 90] as const, ['m'] as const, ['o'] as const],
        ...[['g', 1, 2, 90] as const, ['m'] as const, ['o'] as const],
        ['l'],
      ])
      // The mark, 12 + 90 bytes in four pieces of which the first is short, and the header.
      expect(answers).toEqual(['idle', '1 6', 'idle', '0 0', 'idle', '0 0', 'idle', '1 6', listed(1, 2, 90)])
      const longer = await tell([['n'], ['g', 1, 0, 90], ['m'], ['g', 1, 0, 91], ['m'], ['l']])
      expect(longer[2]).toBe(`${listed(1, 0, 91)} ${listed(1, 0, 90)}`)
    })

    test('a ninth takes the place of the oldest, over and over', async () => {
      const met = Array.from({ length: 25 }, (_, k): Command[] => [['g', k + 1, 1, 20 * k], ['m']]).flat()
      const answers = await tell([['n'], ...met, ['l'], ['p'], ['l']])
      const list = Array.from({ length: 8 }, (_, k) => listed(25 - k, 1, 20 * (24 - k))).join(' ')
      expect(answers.slice(-2)).toEqual([list, list])
    })

    test('one that was pushed out and comes again is the newest', async () => {
      const met = Array.from({ length: 9 }, (_, k): Command[] => [['g', k + 1, 1, 30], ['m']]).flat()
      const answers = await tell([['n'], ...met, ['g', 1, 1, 30], ['m'], ['l'], ['p'], ['l']])
      const list = [1, 9, 8, 7, 6, 5, 4, 3].map((number) => listed(number, 1, 30)).join(' ')
      expect(answers.slice(-2)).toEqual([list, list])
    })

    test('whatever is met in whatever order, the list is the model’s', async () => {
      await fc.assert(
        fc.asyncProperty(
          fc.array(fc.tuple(fc.integer({ min: 1, max: 11 }), fc.nat(2), fc.boolean()), {
            maxLength: 31,
            size: 'max',
          }),
          async (meetings) => {
            const model = new PadMemoryModel()
            const commands = meetings.flatMap(([number, outcome, again]): Command[] => {
              model.pad(padOf(number, outcome, 20), made(number, 20), 0)
              return [['g', number, outcome, 20], ['m'], ...(again ? [['p'] as const] : [])]
            })
            const answers = await tell([['n'], ...commands, ['l']])
            expect(pads(answers.at(-1))).toEqual(
              model.history.map(({ pad }) =>
                listed(pad.productId, PAD_OUTCOMES.indexOf(pad.outcome as (typeof PAD_OUTCOMES)[number]), 20),
              ),
            )
          },
        ),
        { numRuns: draws(300) },
      )
    })

    test('two that come at once are both written', async () => {
      const answers = await tell([['n'], ['g', 1, 0, 50], ['g', 2, 3, 60], ['g', 1, 0, 50], ['m'], ['l']])
      expect(answers[1]).toBe(`${listed(2, 3, 60)} ${listed(1, 0, 50)}`)
    })

    test('a device that says something else of itself each time wears the flash 32 times at most', async () => {
      const met = Array.from({ length: 60 }, (_, k): Command[] => [['g', k + 1, 1, 40], ['m']]).flat()
      const answers = await tell([['n'], ...met, ['o']])
      expect(answers.at(-1)).toMatch(/^32 /)
    })

    test('a sector that no longer takes bits is passed over, and the pad is kept all the same', async () => {
      for (const bad of [0, 3, 8]) {
        const met = Array.from({ length: 12 }, (_, k): Command[] => [['g', k + 1, 1, 40], ['m']]).flat()
        // The magic's second byte is 39, whose lowest bit is set.
        const stuck: Command = ['k', FLASH_MAP.historyAt + bad * FLASH_MAP.sectorBytes + 1]
        const answers = await tell([['n'], stuck, ...met, ['p'], ['l']])
        const list = pads(answers.at(-1))
        expect(list).toEqual(Array.from({ length: 8 }, (_, k) => listed(12 - k, 1, 40)))
      }
    })

    test('a sector whose content no longer takes bits, too', async () => {
      const met = Array.from({ length: 12 }, (_, k): Command[] => [['g', k + 1, 1, 40], ['m']]).flat()
      // Some of eight bytes have their lowest bit set.
      const stuck = Array.from({ length: 8 }, (_, k): Command => ['k', FLASH_MAP.historyAt + 40 + k])
      const answers = await tell([['n'], ...stuck, ...met, ['p'], ['l']])
      expect(pads(answers.at(-1))).toEqual(Array.from({ length: 8 }, (_, k) => listed(12 - k, 1, 40)))
    })

    test('what sectors held that are worn out is not known any more', async () => {
      const met = Array.from({ length: 9 }, (_, k): Command[] => [['g', k + 1, 1, 40], ['m']]).flat()
      const stuck = [0, 1].map((sector): Command => ['k', FLASH_MAP.historyAt + sector * 0x1000 + 1])
      const more: Command[] = [['g', 10, 1, 40], ['m'], ['g', 1, 1, 40], ['m']]
      const answers = await tell([['n'], ...met, ...stuck, ...more, ['l']])
      // Seven sectors are left.
      expect(pads(answers.at(-1))).toEqual([1, 10, 9, 8, 7, 6, 5].map((number) => listed(number, 1, 40)))
    })

    test('a record with any of its bits wrong does not count', async () => {
      for (const at of [0, 4, 8, 10, 12, 16, 20, 32, 60]) {
        const damage: Command = ['w', FLASH_MAP.historyAt + at, 0x12345678]
        const answers = await tell([['n'], ['g', 1, 0, 60], ['g', 2, 0, 60], ['m'], damage, ['p'], ['l']])
        expect(answers[1]).toBe(listed(2, 0, 60))
      }
    })
  })

  describe('power', () => {
    /** Cuts at each operation of an act, in three ways; then power comes on, and once more after all has been worked on. */
    async function cutEverywhere(before: readonly Command[], act: readonly Command[], tornSeeds: number) {
      const whole = await tell([['n'], ...before, ['o'], ...act, ['m'], ['o']])
      const total = sum(whole.at(-1))
      const reports: { readonly list: string[]; readonly seen: string; readonly banks: string }[] = []
      let cuts = 0
      for (let at = 0; at < total; at++) {
        for (const mode of [0, 1, 2]) {
          for (let seed = 1; seed <= (mode === 1 ? tornSeeds : 1); seed++) {
            const look: Command[] = [['l'], ['s'], ['b']]
            const answers = await tell([
              ['n'],
              ...before,
              ['o'],
              ['x', at, mode, seed + 100 * at],
              ...act,
              ['m'],
              ['p'],
              ...look,
              ['m'],
              ['p'],
              ...look,
            ])
            if (answers.includes('cut')) cuts++
            for (const from of [-7, -3]) {
              const [list, seen, banks] = answers.slice(from) as [string, string, string]
              reports.push({ list: pads(list), seen, banks })
            }
          }
        }
      }
      expect(cuts).toBeGreaterThan(total * 2)
      return { reports, total, cuts }
    }

    const fill = (count: number): Command[] =>
      Array.from({ length: count }, (_, k): Command[] => [['g', k + 1, 1, 30 + k], ['m']]).flat()
    const filled = (count: number, newest: number) =>
      Array.from({ length: count }, (_, k) => listed(newest - k, 1, 29 + newest - k))

    test.each([0, 3, 8, 12])(
      'a cut anywhere while a pad is written beside %d others leaves those, and the new one or not',
      async (count) => {
        const { reports, cuts } = await cutEverywhere(fill(count), [['g', 99, 0, 100]], 4)
        console.log(`power cuts in a pad beside ${count}: ${cuts}`)
        const old = filled(Math.min(count, 8), count)
        const fresh = [listed(99, 0, 100), ...old].slice(0, 8)
        const kinds = new Set(reports.map(({ list }) => list.join(' ')))
        expect(kinds).toEqual(new Set([old.join(' '), fresh.join(' ')]))
      },
    )

    test('a cut anywhere while the outcome of a pad is written anew leaves the old one or the new one', async () => {
      const { reports } = await cutEverywhere(fill(5), [['g', 2, 0, 31]], 4)
      const old = filled(5, 5)
      const fresh = [listed(2, 0, 31), ...old.filter((pad) => pad !== listed(2, 1, 31))]
      const kinds = new Set(reports.map(({ list }) => list.join(' ')))
      expect(kinds).toEqual(new Set([old.join(' '), fresh.join(' ')]))
    })

    test('a cut anywhere in a pad that comes after one was written anew spares the oldest', async () => {
      const { reports } = await cutEverywhere([...fill(8), ['g', 2, 0, 31], ['m']], [['g', 99, 0, 100]], 4)
      const old = [listed(2, 0, 31), ...filled(8, 8).filter((pad) => pad !== listed(2, 1, 31))]
      const fresh = [listed(99, 0, 100), ...old.slice(0, 7)]
      const kinds = new Set(reports.map(({ list }) => list.join(' ')))
      expect(kinds).toEqual(new Set([old.join(' '), fresh.join(' ')]))
    })

    test('a cut anywhere in a snapshot leaves the one before or the new one, wherever the log stands', async () => {
      let cuts = 0
      for (const snapshots of [0, 1, 2, 3, 11, 12, 13]) {
        // A pad stays for 10 s each time; the last snapshot of each is the one that counts.
        const before = Array.from({ length: snapshots }, (_, k): Command[] => [
          ...watched(7, 10_000 + k),
          ['m'],
          ['p'],
        ]).flat()
        const act = watched(7, 10_500)
        const found = await cutEverywhere(before, act, 3)
        cuts += found.cuts
        const times = new Set(found.reports.map(({ seen }) => seenOf(seen)?.takenMs ?? null))
        const old = snapshots === 0 ? null : 10_000 + snapshots - 1
        expect(times).toEqual(new Set([old, 10_500]))
        for (const { list } of found.reports) expect(list.length).toBeLessThanOrEqual(1)
      }
      console.log(`power cuts in a snapshot: ${cuts}`)
    })

    test('a cut anywhere in a commit that comes amid a pad harms neither banks nor pads', async () => {
      const before: Command[] = [...fill(8), ['c', 0, 1, 300], ['m']]
      const act: Command[] = [
        ['g', 99, 0, 100],
        ['y', 12],
        ['c', 0, 2, 400],
      ]
      const { reports, cuts } = await cutEverywhere(before, act, 2)
      const images = [made(1, 296), made(2, 396)].map((bytes) => hex8(zlibCrc32(bytes)))
      const old = filled(8, 8)
      const fresh = [listed(99, 0, 100), ...old].slice(0, 8)
      expect(new Set(reports.map(({ banks }) => banks))).toEqual(
        new Set(images.map((crc) => `${crc} 00000000 00000000 00000000`)),
      )
      expect(new Set(reports.map(({ list }) => list.join(' ')))).toEqual(
        new Set([old.join(' '), fresh.join(' ')]),
      )
      console.log(`power cuts in a commit amid a pad: ${cuts}`)
    })

    test('a cut anywhere in forgetting leaves the newest that were not forgotten yet', async () => {
      const before: Command[] = [...fill(9), ['p'], ...watched(9, 10_000), ['m'], ['p']]
      const { reports } = await cutEverywhere(before, [['f']], 3)
      const all = (await tell([['n'], ...before, ['l']])).at(-1)
      const lists = reports.map(({ list }) => list)
      for (const list of lists) expect(pads(all).slice(0, list.length)).toEqual(list)
      expect(new Set(lists.map(({ length }) => length))).toEqual(new Set([0, 1, 2, 3, 4, 5, 6, 7, 8]))
    })
  })

  describe('what was seen last', () => {
    type Act =
      | { readonly kind: 'pad'; readonly number: number; readonly outcome: number; readonly bytes: number }
      | { readonly kind: 'gone' }
      | { readonly kind: 'report'; readonly seed: number; readonly bytes: number }
      | { readonly kind: 'read'; readonly rises: number }
      | { readonly kind: 'time'; readonly ms: number; readonly controls: number; readonly inputs: number }
      | { readonly kind: 'work'; readonly rounds: number }

    const arbPad: fc.Arbitrary<Act> = fc.record({
      kind: fc.constant('pad' as const),
      number: fc.integer({ min: 1, max: 12 }),
      outcome: fc.oneof(fc.constant(0), fc.nat(5)),
      bytes: fc.constantFrom(0, 40, 41, 2048),
    })
    const arbDeed: fc.Arbitrary<Act> = fc.oneof(
      {
        weight: 5,
        arbitrary: fc.record({
          kind: fc.constant('report' as const),
          seed: fc.nat(5),
          bytes: fc.oneof(fc.constantFrom(0, 8, 64, 80), fc.nat(64)),
        }),
      },
      {
        weight: 4,
        arbitrary: fc.record({
          kind: fc.constant('read' as const),
          rises: fc.integer({ min: 1, max: 0xffff }),
        }),
      },
      {
        weight: 2,
        arbitrary: fc.record({
          kind: fc.constant('time' as const),
          ms: fc.oneof(fc.nat(50), fc.constantFrom(9_999, 10_000, 600_000)),
          controls: fc.nat(0x7fffffff),
          inputs: fc.nat(0xfff),
        }),
      },
      { weight: 1, arbitrary: fc.record({ kind: fc.constant('work' as const), rounds: fc.nat(2_000) }) },
    )
    /** A pad comes and does much or little, and may go. */
    const arbVisit: fc.Arbitrary<Act[]> = fc
      .tuple(
        arbPad,
        fc.oneof(fc.array(arbDeed, { maxLength: 8 }), fc.array(arbDeed, { minLength: 50, maxLength: 90 })),
        fc.boolean(),
      )
      .map(([pad, deeds, goes]) => [pad, ...deeds, ...(goes ? [{ kind: 'gone' } as const] : [])])
    const arbActs = fc
      .tuple(fc.array(arbDeed, { maxLength: 3 }), fc.array(arbVisit, { maxLength: 6 }))
      .map(([first, visits]) => [...first, ...visits.flat()])

    test('is what the model keeps, byte for byte, and so are the pads', async () => {
      let long = 0
      await fc.assert(
        fc.asyncProperty(arbActs, async (acts) => {
          const model = new PadMemoryModel()
          let nowMs = 0
          const commands: Command[] = [['n']]
          for (const act of acts) {
            switch (act.kind) {
              case 'pad':
                model.pad(padOf(act.number, act.outcome, act.bytes), made(act.number, act.bytes), nowMs)
                commands.push(['m'], ['g', act.number, act.outcome, act.bytes], ['m'])
                continue
              case 'gone':
                model.gone(nowMs)
                commands.push(['z'])
                continue
              case 'report':
                model.report(made(act.seed, act.bytes), nowMs)
                commands.push(['e', act.seed, act.bytes])
                continue
              case 'read':
                model.read(act.rises, nowMs)
                commands.push(['d', act.rises])
                continue
              case 'time':
                nowMs += act.ms
                model.tick(nowMs, act.controls, act.inputs)
                // All is written before anything else happens: a snapshot on its way has its own test.
                commands.push(['t', act.ms, act.controls, act.inputs], ['m'])
                continue
              case 'work':
                commands.push(['y', act.rounds])
            }
          }
          const answers = await tell([...commands, ['m'], ['l'], ['s']])
          const seen = model.lastActivity
          expect(answers.at(-1)).toBe(seen === null ? '' : Buffer.from(seen).toString('hex'))
          if ((seen?.length ?? 0) === MAX_ACTIVITY_BYTES) long++
          const list = model.history.map(({ pad, descriptor }) =>
            [
              PAD_OUTCOMES.indexOf(pad.outcome as (typeof PAD_OUTCOMES)[number]),
              pad.vendorId,
              pad.productId,
              descriptor.length,
              hex8(zlibCrc32(descriptor)),
            ].join(':'),
          )
          expect(pads(answers.at(-2))).toEqual(list)
        }),
        { numRuns: draws(300) },
      )
      expect(long).toBeGreaterThan(often(10))
    })

    test('goes to flash when the pad has been there 10 s, 1 min, 10 min, then every 10 min, and when it goes', async () => {
      // In steps of 1 s; a snapshot is known by the time it carries.
      const taken: number[] = []
      const commands: Command[] = [['n'], ...watched(1, 0), ['m'], ['o']]
      for (let second = 1; second <= 2_500; second++) commands.push(['t', 1_000, 0, 0], ['m'], ['o'])
      const answers = await tell([...commands, ['z'], ['m'], ['o']])
      answers.forEach((line, k) => {
        if (/^\d+ \d+$/.test(line) && line !== '0 0' && k > 1) taken.push((k - 1) / 2)
      })
      expect(taken).toEqual([10, 60, 600, 1_200, 1_800, 2_400, 2_501])
    })

    test('a plug that comes and goes writes its end once in 10 s', async () => {
      const flap: Command[] = [['g', 1, 0, 40], ['t', 500, 0, 0], ['z'], ['t', 500, 0, 0], ['m']]
      const rounds = Array.from({ length: 100 }, () => flap).flat()
      const answers = await tell([['n'], ['g', 1, 0, 40], ['m'], ['o'], ...rounds, ['o']])
      // A snapshot with no report and no read: the mark, two pieces of its content, and the header.
      const [erases, programs] = (answers.at(-1) ?? '').split(' ').map(Number) as [number, number]
      expect(programs).toBe(10 * 4)
      expect(erases).toBe(4)
    })

    test('after power came on again it is the last snapshot, until another pad is seen', async () => {
      const answers = await tell([
        ['n'],
        ...watched(5, 10_000),
        ['m'],
        ['e', 3, 8],
        ['t', 100, 0, 0],
        ['p'],
        ['s'],
        ['g', 6, 3, 40],
        ['s'],
        ['g', 6, 1, 40],
        ['s'],
      ])
      const [old, still, other] = answers.slice(-3).map(seenOf)
      expect(old).toMatchObject({ takenMs: 10_000, there: true, reportCount: 1, readCount: 1, mostRises: 4 })
      expect(old?.reports).toEqual([{ atMs: 0, bytes: made(5, 8) }])
      expect(still).toEqual(old)
      expect(other?.pad).toEqual(padOf(6, 1, 40))
      expect(other?.reports).toEqual([])
    })

    test('while it is written, reports go on to be kept; a snapshot is of one instant', async () => {
      for (const rounds of [0, 1, 5, 20, 40, 80, 160]) {
        const flood = Array.from({ length: 40 }, (_, k): Command[] => [
          ['e', 1_000 + k, 64],
          ['d', 100 + k],
          ['y', 1],
        ]).flat()
        const before = Array.from({ length: 20 }, (_, k): Command => ['e', k, 64])
        const answers = await tell([
          ['n'],
          ['g', 1, 0, 10],
          ['m'],
          ...before,
          ['d', 1],
          ['t', 10_000, 0, 0],
          ['y', rounds],
          ...flood,
          ['m'],
          ['e', 5_000, 64],
          ['s'],
          ['p'],
          ['s'],
        ])
        const [ram, flash] = answers.slice(-2).map(seenOf)
        expect(ram?.reportCount).toBe(61)
        expect(ram?.reports).toHaveLength(16)
        expect(ram?.reports.at(-1)?.bytes).toEqual(made(5_000, 64))
        // In flash it is the last 16 up to some report, none left out and none of later.
        const all = [...before, ...flood.filter(([letter]) => letter === 'e')].map(([, seed = 0]) =>
          Buffer.from(made(seed, 64)).toString('hex'),
        )
        const kept = flash?.reports.map(({ bytes }) => Buffer.from(bytes).toString('hex')) ?? []
        const last = flash?.reportCount ?? 0
        expect(kept).toEqual(all.slice(last - 16, last))
      }
    })

    test('a pad that another takes the place of while its snapshot is written leaves the one before', async () => {
      for (let rounds = 0; rounds < 300; rounds += 7) {
        const answers = await tell([
          ['n'],
          ...watched(5, 10_000),
          ['m'],
          ['p'],
          ['g', 5, 0, 100],
          ...Array.from({ length: 16 }, (_, k): Command => ['e', k, 64]),
          ['t', 10_001, 0, 0],
          ['y', rounds],
          ['g', 8, 0, 100],
          ...Array.from({ length: 16 }, (_, k): Command => ['e', 50 + k, 64]),
          ['m'],
          ['p'],
          ['s'],
        ])
        const seen = seenOf(answers.at(-1))
        expect([10_000, 10_001]).toContain(seen?.takenMs)
        expect(seen?.reports.at(-1)?.bytes).toEqual(seen?.takenMs === 10_000 ? made(5, 8) : made(15, 64))
      }
    })

    test('a place that was spent by a cut is not written again', async () => {
      const first: Command[] = [['n'], ...watched(7, 10_000), ['m'], ['p']]
      const second: Command[] = [...watched(7, 10_001), ['o'], ['m'], ['o']]
      const whole = await tell([...first, ...second])
      const cut: Command[] = [...watched(7, 10_002), ['x', 3, 1, 5], ['m'], ['p']]
      const after = await tell([...first, ...cut, ...second, ['s']])
      // Into the second place, or into the third.
      expect(after.at(-2)).toBe(whole.at(-1))
      expect(seenOf(after.at(-1))?.takenMs).toBe(10_001)
    })

    test('where no place takes bits but the one that counts, that one is left alone', async () => {
      const at = (place: number) =>
        FLASH_MAP.activityAt + Math.floor(place / 3) * 0x1000 + (place % 3) * 0x500
      const stuck = Array.from({ length: 11 }, (_, k): Command => ['k', at(k + 1) + 1])
      const dues = Array.from({ length: 12 }, (): Command[] => [['t', 600_000, 0, 0], ['m']]).flat()
      const answers = await tell([['n'], ...watched(7, 10_000), ['m'], ...stuck, ...dues, ['p'], ['s']])
      expect(seenOf(answers.at(-1))?.takenMs).toBe(10_000)
    })

    test('a place that no longer takes bits is passed over', async () => {
      for (let place = 0; place < 12; place++) {
        const at = FLASH_MAP.activityAt + Math.floor(place / 3) * 0x1000 + (place % 3) * 0x500
        const several = Array.from({ length: 15 }, (_, k): Command[] => [
          ...watched(7, 10_000 + k),
          ['m'],
          ['p'],
          ['s'],
        ]).flat()
        const answers = await tell([['n'], ['k', at + 1], ...several])
        const times = answers.filter((line) => line !== 'idle').map((line) => seenOf(line)?.takenMs)
        expect(times).toEqual(Array.from({ length: 15 }, (_, k) => 10_000 + k))
      }
    })
  })

  describe('forgetting', () => {
    const full: Command[] = [
      ...Array.from({ length: 9 }, (_, k): Command[] => [['g', k + 1, 0, 50], ['m']]).flat(),
      ...Array.from({ length: 5 }, (): Command[] => [...watched(9, 10_000), ['m'], ['z'], ['m']]).flat(),
    ]

    test('leaves nothing, also after power came on again, erases nothing and leaves the banks', async () => {
      const answers = await tell([
        ['n'],
        ['c', 2, 4, 500],
        ['m'],
        ...full,
        ['o'],
        ['f'],
        ['o'],
        ['l'],
        ['s'],
        ['p'],
        ['l'],
        ['s'],
        ['b'],
      ])
      expect(answers.at(-7)).toBe('forgotten')
      expect(answers.at(-6)).toMatch(/^0 \d+$/)
      expect(answers.slice(-5, -1)).toEqual(['', '', '', ''])
      expect(answers.at(-1)).toBe(`00000000 00000000 ${hex8(zlibCrc32(made(4, 496)))} 00000000`)
    })

    test('of nothing is done at once, and what is met later is kept', async () => {
      const answers = await tell([
        ['n'],
        ['f'],
        ['o'],
        ['g', 1, 0, 30],
        ['m'],
        ...full,
        ['f'],
        ['g', 1, 0, 30],
        ['m'],
        ['p'],
        ['l'],
      ])
      expect(answers.slice(0, 2)).toEqual(['forgotten', '0 0'])
      expect(answers.at(-1)).toBe(listed(1, 0, 30))
    })

    test('of what cannot be spoiled is told, and the rest is forgotten all the same', async () => {
      const answers = await tell([
        ['n'],
        ...full,
        ['u', FLASH_MAP.historyAt + 4 * 0x1000 + 1],
        ['f'],
        ['p'],
        ['l'],
        ['s'],
        ['f'],
      ])
      expect(answers.slice(-4)).toEqual(['kept', '', '', 'forgotten'])
    })

    test('while a pad is being written forgets that one too', async () => {
      for (let rounds = 0; rounds < 120; rounds += 5) {
        const answers = await tell([['n'], ['g', 1, 0, 100], ['y', rounds], ['f'], ['l'], ['p'], ['l']])
        expect(answers).toEqual(['forgotten', '', ''])
      }
    })
  })

  test('nothing outside its own sectors is ever written', async () => {
    const beyond = FLASH_MAP.activityAt + FLASH_MAP.activitySectors * FLASH_MAP.sectorBytes
    expect(FLASH_MAP.historyAt).toBe(
      FLASH_MAP.activeLogAt + FLASH_MAP.activeLogSectors * FLASH_MAP.sectorBytes,
    )
    expect(FLASH_MAP.activityAt).toBe(FLASH_MAP.historyAt + FLASH_MAP.historySectors * FLASH_MAP.sectorBytes)
    expect(beyond).toBeLessThanOrEqual(FLASH_MAP.bytes)
    expect(copyAt(3, 1)).toBeLessThan(FLASH_MAP.activeLogAt)
  })
})
