import { afterAll, beforeAll, expect, test } from 'vitest'
import { FLASH_MAP } from '../../../src/adapter/flash-map.ts'
import { describeWith } from '../../tools.ts'
import { HOST_COMPILER, HostProgram, Message } from './host-program.ts'

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

const EMPTY = '0:00000000 not sound'
const OLD: Command = ['a', 1, 300]
const NEW: Command = ['a', 2, 488]

/** What a report says of a command's image, without what became of it. */
const contentOf = async (arm: Command): Promise<string> =>
  (await tell([['n'], arm, ['r']]))[1]?.split(' ')[0] ?? ''

const MARK = FLASH_MAP.trialAt + FLASH_MAP.trialUsedAt

describeWith('the trial slot in C', [HOST_COMPILER], () => {
  beforeAll(() => {
    host = HostProgram.start('trial-slot-host.c', ['trial-slot.c', 'record.c', 'crc32.c'])
  }, 60_000)
  afterAll(() => host.stop())

  test('a blank flash has nothing in it, and nothing is written', async () => {
    expect(await tell([['n'], ['r'], ['o']])).toEqual([EMPTY, '0 0'])
  })

  test('what was armed is armed after power came on again, then used, then gone when it is forgotten', async () => {
    const content = await contentOf(NEW)
    const answers = await tell([
      ['n'],
      NEW,
      ['p'],
      ['r'],
      ['u'],
      ['r'],
      ['p'],
      ['r'],
      ['f'],
      ['r'],
      ['p'],
      ['r'],
    ])
    const [armed, used] = [`${content} armed sound`, `${content} not sound`]
    expect(answers).toEqual(['done', armed, 'done', used, used, 'done', EMPTY, EMPTY])
  })

  test('an image as large as may be is armed, and nothing outside the slot is touched', async () => {
    const answers = await tell([
      ['n'],
      ['a', 3, 2048],
      ['u'],
      ['a', 4, 2048],
      ['f'],
      ['a', 5, 20],
      ['e'],
      ['r'],
    ])
    expect(answers.slice(0, 6)).toEqual(['done', 'done', 'done', 'done', 'done', 'untouched'])
    expect(answers[6]).toMatch(/^20:[0-9a-f]{8} armed sound$/)
  })

  const TORN_SEEDS = 12

  /** Cuts at each operation of an act: before it, amid it in several ways, after it. What the slot says then, and after the next power. */
  async function cutEverywhere(before: readonly Command[], act: Command) {
    const counted = await tell([['n'], ...before, ['o'], act, ['o']])
    const total = (counted.at(-1) ?? '').split(' ').reduce((sum, count) => sum + Number(count), 0)
    const reports = new Set<string>()
    let cuts = 0
    for (let at = 0; at < total; at++)
      for (const mode of [0, 1, 2])
        for (let seed = 1; seed <= (mode === 1 ? TORN_SEEDS : 1); seed++) {
          const answers = await tell([
            ['n'],
            ...before,
            ['x', at, mode, seed],
            act,
            ['p'],
            ['r'],
            ['p'],
            ['r'],
            ['e'],
          ])
          const [untouched, again, report, outcome] = answers.reverse()
          expect(outcome).toBe('cut')
          expect(again).toBe(report)
          expect(untouched).toBe('untouched')
          reports.add(report ?? '')
          cuts++
        }
    console.log(`power cuts in the trial slot, ${act[0]}: ${cuts}`)
    return reports
  }

  test('a cut anywhere in arming leaves it empty, or the new image armed; or what was there, before that is gone', async () => {
    const [old, fresh] = [await contentOf(OLD), await contentOf(NEW)]
    expect(await cutEverywhere([], NEW)).toEqual(new Set([EMPTY, `${fresh} armed sound`]))
    expect(await cutEverywhere([OLD], NEW)).toEqual(
      new Set([`${old} armed sound`, EMPTY, `${fresh} armed sound`]),
    )
    // What was used never comes to life again.
    expect(await cutEverywhere([OLD, ['u']], NEW)).toEqual(
      new Set([`${old} not sound`, EMPTY, `${fresh} armed sound`]),
    )
  })

  test('a cut anywhere in using or forgetting leaves it as it was, or used, or empty', async () => {
    const old = await contentOf(OLD)
    expect(await cutEverywhere([OLD], ['u'])).toEqual(new Set([`${old} armed sound`, `${old} not sound`]))
    expect(await cutEverywhere([OLD], ['f'])).toEqual(new Set([`${old} armed sound`, EMPTY]))
    expect(await cutEverywhere([OLD, ['u']], ['f'])).toEqual(new Set([`${old} not sound`, EMPTY]))
  })

  test('an image that cannot be written is refused, and does not come to life', async () => {
    // A bit of the content that stays 0, which at least one of the images has set; then one of the mark.
    const inContent: Command = ['k', FLASH_MAP.trialAt + 20 + 7]
    const outcomes = await Promise.all(
      [1, 2, 3, 4, 5, 6].map((seed) => tell([['n'], inContent, ['a', seed, 300], ['p'], ['r']])),
    )
    const refused = outcomes.filter(([outcome]) => outcome === 'failed')
    expect(refused.length).toBeGreaterThan(0)
    for (const [, report] of refused) expect(report).toBe(EMPTY)
    expect(await tell([['n'], ['k', MARK + 3], OLD, ['p'], ['r']])).toEqual(['failed', EMPTY])
  })

  test('a mark of which one bit cannot be written marks all the same', async () => {
    const old = await contentOf(OLD)
    expect(await tell([['n'], ['h', MARK], OLD, ['u'], ['p'], ['r']])).toEqual([
      'done',
      'done',
      `${old} not sound`,
    ])
  })
})
