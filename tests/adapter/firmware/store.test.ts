import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import fc from 'fast-check'
import { encodeBankRecord, encodeBankUf2 } from '../../../src/adapter/bank-record.ts'
import { FLASH_MAP } from '../../../src/adapter/flash-map.ts'
import { copyAt } from '../../../src/adapter/flash-places.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { describeWith } from '../../tools.ts'
import { HOST_COMPILER, HostProgram, Message } from './host-program.ts'
import { draws } from '../../draws.ts'

type Command = readonly [letter: string, a?: number, b?: number, c?: number]

let host: HostProgram

async function tell(commands: readonly Command[]): Promise<string[]> {
  const message = new Message()
  for (const [letter, a = 0, b = 0, c = 0] of commands) {
    message.bytes(Buffer.from(letter)).u32(a).u32(b).u32(c)
  }
  const reply = Buffer.from(await host.ask(message.done())).toString()
  return reply.split('\n').slice(0, -1)
}

/** Length and CRC of the images that the host program makes, as its reports have them. */
const contents = new Map<string, string>()
async function contentOf(seed: number, bytes: number): Promise<string> {
  const key = `${seed} ${bytes}`
  const known = contents.get(key) ?? ((await tell([['i', seed, bytes]]))[0] as string)
  contents.set(key, known)
  return known
}

const EMPTY = '0:00000000'

interface Stored {
  readonly active: number
  readonly banks: readonly string[]
  readonly worn: boolean
}
function stored(line: string | undefined): Stored {
  const [active, ...rest] = (line ?? '').split(' ')
  return { active: Number(active), banks: rest.slice(0, -1), worn: rest.at(-1) === 'worn' }
}

const writeBytes = (at: number, bytes: Uint8Array): Command[] =>
  Array.from({ length: Math.ceil(bytes.length / 4) }, (_, k) => {
    const word = Buffer.alloc(4, 0xff)
    word.set(bytes.subarray(4 * k, 4 * k + 4))
    return ['w', at + 4 * k, word.readUInt32LE(0)]
  })

describeWith('the bank store in C', [HOST_COMPILER], () => {
  beforeAll(() => {
    host = HostProgram.start('store-host.c', ['store.c', 'crc32.c'])
  }, 60_000)
  afterAll(() => host.stop())

  test('a blank flash has four empty banks and no active one, and nothing is written', async () => {
    const [report, idle, operations] = await tell([['n'], ['r'], ['m'], ['o']])
    expect(stored(report)).toEqual({ active: -1, banks: [EMPTY, EMPTY, EMPTY, EMPTY], worn: false })
    expect(idle).toBe('idle')
    expect(operations).toBe('0 0')
  })

  test('what was committed is there after power came on again', async () => {
    const answers = await tell([['n'], ['c', 2, 7, 488], ['c', 0, 8, 144], ['s', 0], ['p'], ['r']])
    expect(answers.slice(0, 3)).toEqual(['done', 'done', 'done'])
    const { active, banks } = stored(answers[3])
    expect(active).toBe(0)
    expect(banks).toEqual([await contentOf(8, 144), EMPTY, await contentOf(7, 488), EMPTY])
  })

  test('an image as large as may be takes the nine pages that it and its header have', async () => {
    const answers = await tell([['n'], ['c', 3, 7, 2048], ['o'], ['p'], ['r']])
    expect(answers.slice(0, 2)).toEqual(['done', '2 18'])
    expect(stored(answers[2]).banks[3]).toBe(await contentOf(7, 2048))
  })

  test('a commit to another bank does not change which bank is active', async () => {
    const answers = await tell([['n'], ['c', 2, 1, 200], ['c', 0, 2, 200], ['r'], ['p'], ['r']])
    expect(stored(answers[2]).active).toBe(2)
    expect(stored(answers[3]).active).toBe(2)
  })

  test('selecting the active bank again wears nothing', async () => {
    const answers = await tell([['n'], ['c', 1, 1, 200], ['s', 1], ['o'], ['s', 1], ['o']])
    expect(answers.at(-1)).toBe('0 0')
  })

  test('a commit erases each of two sectors once', async () => {
    const answers = await tell([['n'], ['c', 1, 1, 488], ['o'], ['c', 1, 2, 488], ['o']])
    // 488 bytes and a header of 20 are two pages, twice; the second time the log is told first which bank is active.
    expect(answers).toEqual(['done', '2 4', 'done', '2 5'])
  })

  describe('power', () => {
    /** Erases and programs of one run of the commands without a cut. */
    async function operationsOf(before: readonly Command[], act: Command): Promise<number> {
      const answers = await tell([['n'], ...before, ['o'], act, ['m'], ['o']])
      const [erases, programs] = (answers.at(-1) as string).split(' ').map(Number) as [number, number]
      return erases + programs
    }

    const TORN_SEEDS = 12

    /**
     * Cuts at each operation of an act: before it, amid it in several ways, after it; then power comes on, what is to mend is
     * mended with a second cut somewhere in that, and the report is taken each time.
     */
    async function cutEverywhere(before: readonly Command[], act: Command) {
      const total = await operationsOf(before, act)
      const reports: Stored[] = []
      let cuts = 0
      for (let at = 0; at < total; at++) {
        for (const mode of [0, 1, 2]) {
          for (let seed = 1; seed <= (mode === 1 ? TORN_SEEDS : 1); seed++) {
            const again = (seed * 7 + at) % 6
            const answers = await tell([
              ['n'],
              ...before,
              ['x', at, mode, seed],
              act,
              ['m'],
              ['p'],
              ['r'],
              ['x', again, 1, seed + 100],
              ['m'],
              ['p'],
              ['r'],
              ['m'],
              ['r'],
              ['p'],
              ['r'],
            ])
            reports.push(...answers.filter((line) => /:/.test(line)).map(stored))
            if (answers.includes('cut')) cuts++
          }
        }
      }
      return { reports, cuts }
    }

    const filled: Command[] = [
      ['c', 0, 1, 488],
      ['c', 1, 2, 300],
      ['s', 1],
    ]

    test('a cut anywhere in a commit leaves the old image or the new one, and the other banks as they are', async () => {
      const { reports, cuts } = await cutEverywhere(filled, ['c', 0, 3, 400])
      const [old, fresh, other] = [await contentOf(1, 488), await contentOf(3, 400), await contentOf(2, 300)]
      const seen = new Set(reports.map(({ banks }) => banks[0]))
      expect(seen).toEqual(new Set([old, fresh]))
      for (const { active, banks } of reports) {
        expect(active).toBe(1)
        expect(banks.slice(1)).toEqual([other, EMPTY, EMPTY])
      }
      console.log(`power cuts in a commit: ${cuts}`)
      expect(cuts).toBeGreaterThan(80)
    })

    test('a cut anywhere in the first commit of all leaves an empty bank or the new image', async () => {
      const { reports, cuts } = await cutEverywhere([], ['c', 3, 5, 144])
      const fresh = await contentOf(5, 144)
      expect(new Set(reports.map(({ active, banks }) => `${active} ${banks[3]}`))).toEqual(
        new Set([`-1 ${EMPTY}`, `3 ${fresh}`]),
      )
      console.log(`power cuts in a first commit: ${cuts}`)
    })

    test('a cut anywhere in a commit over a bank with one bad copy leaves the old image or the new one', async () => {
      for (const copy of [0, 1] as const) {
        const bad: Command[] = [...filled, ['b', copyAt(0, copy) + 30], ['p']]
        const { reports } = await cutEverywhere(bad, ['c', 0, 3, 400])
        const seen = new Set(reports.map(({ banks }) => banks[0]))
        expect(seen).toEqual(new Set([await contentOf(1, 488), await contentOf(3, 400)]))
      }
    })

    test('a cut anywhere in a change of bank leaves the old bank or the new one, wherever the log stands', async () => {
      const several = Array.from({ length: 300 }, (_, k): Command => ['s', k % 2])
      let cuts = 0
      for (const count of [0, 1, 252, 253, 254, 255, 256, 300]) {
        const before = [...filled, ...several.slice(0, count)]
        const old = count % 2 === 0 ? 1 : (several[count - 1] as Command)[1]
        const next = old === 0 ? 1 : 0
        const run = await cutEverywhere(before, ['s', next])
        cuts += run.cuts
        expect(new Set(run.reports.map(({ active }) => active))).toEqual(new Set([old, next]))
      }
      console.log(`power cuts in a change of bank: ${cuts}`)
    })

    test('whatever is done and wherever it is cut, again and again, each bank holds what it held or was to hold', async () => {
      const act = fc.oneof(
        fc.tuple(
          fc.constant('c'),
          fc.nat(3),
          fc.integer({ min: 1, max: 1e6 }),
          fc.integer({ min: 5, max: 2048 }),
        ),
        fc.tuple(fc.constant('s'), fc.nat(3), fc.constant(0), fc.constant(0)),
      )
      const cut = fc.option(fc.tuple(fc.nat(9), fc.nat(2), fc.integer({ min: 1, max: 1e6 })), { nil: null })
      await fc.assert(
        fc.asyncProperty(fc.array(fc.tuple(act, cut), { minLength: 1, maxLength: 12 }), async (steps) => {
          await tell([['n']])
          let banks: readonly string[] = [EMPTY, EMPTY, EMPTY, EMPTY]
          let active = -1
          for (const [[letter, bank, seed, bytes], at] of steps) {
            if (letter === 's' && banks[bank] === EMPTY) continue
            const arm: Command[] = at === null ? [] : [['x', ...at]]
            const answers = await tell([...arm, [letter, bank, seed, bytes], ['p'], ['r']])
            const now = stored(answers.at(-1))
            if (letter === 'c') {
              const fresh = await contentOf(seed, bytes)
              const allowed = answers[0] === 'done' ? [fresh] : [fresh, banks[bank]]
              expect(allowed).toContain(now.banks[bank])
              if (active === -1) expect([-1, bank]).toContain(now.active)
              else expect(now.active).toBe(active)
            } else {
              expect(answers[0] === 'done' ? [bank] : [bank, active]).toContain(now.active)
            }
            now.banks.forEach((content, k) => {
              if (letter === 's' || k !== bank) expect(content).toBe(banks[k])
            })
            banks = now.banks
            active = now.active
          }
        }),
        { numRuns: draws(300) },
      )
    })
  })

  describe('damage', () => {
    test('one bad copy falls back to the other, and is mended', async () => {
      for (const copy of [0, 1] as const) {
        for (const offset of [0, 4, 8, 10, 12, 16, 20, 300]) {
          const answers = await tell([
            ['n'],
            ['c', 1, 9, 488],
            ['b', copyAt(1, copy) + offset],
            ['p'],
            ['r'],
            ['m'],
            ['b', copyAt(1, copy === 0 ? 1 : 0) + offset],
            ['p'],
            ['r'],
          ])
          const content = await contentOf(9, 488)
          expect(stored(answers[1]).banks[1]).toBe(content)
          expect(stored(answers.at(-1)).banks[1]).toBe(content)
        }
      }
    })

    test('a bank with two bad copies is empty', async () => {
      const answers = await tell([
        ['n'],
        ['c', 1, 9, 488],
        ['b', copyAt(1, 0) + 40],
        ['b', copyAt(1, 1) + 50],
        ['p'],
        ['r'],
      ])
      expect(stored(answers.at(-1))).toEqual({ active: -1, banks: [EMPTY, EMPTY, EMPTY, EMPTY], worn: false })
    })

    test('a sector that no longer takes bits: refused with the old image there, or held by the other copy', async () => {
      const old = await contentOf(9, 400)
      const fresh = await contentOf(10, 400)
      for (const copy of [0, 1] as const) {
        const answers = await tell([
          ['n'],
          ['c', 1, 9, 400],
          ['s', 1],
          // The magic's lowest byte is 4E and 4E has a low bit of 0: the second byte of it is 39.
          ['k', copyAt(1, copy) + 1],
          ['c', 1, 10, 400],
          ['r'],
          ['m'],
          ['p'],
          ['r'],
          ['m'],
          ['r'],
        ])
        expect(answers[2]).toBe(copy === 0 ? 'failed' : 'done')
        const reports = answers.filter((line) => /:/.test(line)).map(stored)
        for (const { banks } of reports) expect(banks[1]).toBe(copy === 0 ? old : fresh)
        expect(reports.at(-1)?.worn).toBe(true)
      }
    })

    test('a worn place in the log is passed over', async () => {
      const answers = await tell([
        ['n'],
        ['c', 0, 1, 100],
        ['c', 1, 2, 100],
        ['k', FLASH_MAP.activeLogAt + 16 + 1],
        ['s', 1],
        ['p'],
        ['r'],
      ])
      expect(answers[2]).toBe('done')
      expect(stored(answers.at(-1)).active).toBe(1)
    })
  })

  describe('what the boot loader writes', () => {
    const image = encodeImage(BUILT_IN_PROFILES['three-button'])

    test('is what the store writes, to the byte', async () => {
      const record = encodeBankRecord(image, 1)
      const answers = await tell([['n'], ...writeBytes(copyAt(2, 0), record), ['p'], ['r']])
      expect(stored(answers.at(-1)).banks[2]).toMatch(new RegExp(`^${image.length}:`))
    })

    test('wins over whatever the bank held', async () => {
      const file = encodeBankUf2(image, 1)
      const writes: Command[] = []
      for (let at = 0; at < file.length; at += 512) {
        const view = new DataView(file.buffer, at, 512)
        writes.push(...writeBytes(view.getUint32(12, true) - 0x10000000, file.subarray(at + 32, at + 288)))
      }
      const commits = Array.from({ length: 5 }, (_, k): Command => ['c', 1, k, 400])
      const answers = await tell([['n'], ...commits, ...writes, ['p'], ['o'], ['m'], ['o'], ['r']])
      expect(stored(answers.at(-1)).banks[1]).toMatch(new RegExp(`^${image.length}:`))
      expect(answers.at(-2)).toBe('0 0')
    })
  })
})
