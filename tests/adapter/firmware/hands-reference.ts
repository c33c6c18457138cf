import fc from 'fast-check'
import { controlMask } from '../../../src/pad/controls.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { ImageRunner } from '../../../src/profile/run-image.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { arbHandSteps, arbProfile } from '../../arbitraries.ts'
import { Message } from './host-program.ts'

/** Every profile that the reply engine can run. */
export const arbRunnable: fc.Arbitrary<Profile> = fc
  .tuple(arbProfile, fc.nat(7))
  .map(([profile, steps]) => ({ ...profile, delayNs: 8 * steps }))

const JUDGED_AFTER_MS = 500
const RISES_SHOWN = 8

interface Wish {
  readonly bank: number
  readonly remembered: boolean
}
const NO_WISH: Wish = { bank: 0, remembered: false }

/** The rules of IMAGE.md that take time, around an image at work. Written from IMAGE.md, not from the C. */
class HandsByTheBook {
  #runner: ImageRunner
  #bank: number
  #held = 0
  #heldSinceMs = 0
  #reportedMs: number | null = null
  #judged = false
  #limited = false
  #limitedNext = false
  #powerOnBank = 0
  #due = false
  #wanted = 0

  constructor(image: Uint8Array, bank: number) {
    this.#runner = new ImageRunner(image)
    this.#bank = bank
  }

  report(held: number, nowMs: number): void {
    this.#reportedMs ??= nowMs
    this.tick(nowMs)
    this.#hold(held, nowMs)
    this.tick(nowMs)
  }

  letGo(nowMs: number): void {
    this.tick(nowMs)
    this.#hold(0, nowMs)
  }

  #hold(held: number, nowMs: number): void {
    if (held !== this.#held) this.#heldSinceMs = nowMs
    this.#held = held
    if (this.#judged) this.#runner.setControls(held)
  }

  tick(nowMs: number): void {
    if (!this.#judged) {
      if (this.#reportedMs === null || nowMs - this.#reportedMs < JUDGED_AFTER_MS) return
      this.#judged = true
      this.#heldSinceMs = nowMs
      const outcome = this.#runner.powerOn(this.#held)
      if (outcome.kind === 'bank') this.#powerOnBank = outcome.bank
      if (outcome.kind === 'first-cycle-only') this.#limitedNext = true
      this.#runner.setControls(this.#held)
      return
    }
    const bank = this.#runner.bankChange(this.#held, nowMs - this.#heldSinceMs, this.#bank)
    if (bank !== null) this.#wanted = bank
  }

  readEnded(): void {
    if (this.#limitedNext) this.#runner.limitToFirstCycle()
    this.#runner.readEnded()
    this.#limited = this.#limitedNext
    if (this.#powerOnBank > 0) this.#due = true
  }

  takeWish(atRest: boolean): Wish {
    if (this.#due) {
      const bank = this.#powerOnBank
      this.#due = false
      this.#powerOnBank = 0
      return { bank, remembered: false }
    }
    if (this.#wanted === 0 || !atRest || this.#held !== 0) return NO_WISH
    const bank = this.#wanted
    this.#wanted = 0
    return { bank, remembered: true }
  }

  load(image: Uint8Array, bank: number, nowMs: number): void {
    this.#runner = new ImageRunner(image)
    this.#bank = bank
    this.#heldSinceMs = nowMs
    this.#wanted = 0
    if (this.#limited) {
      this.#runner.limitToFirstCycle()
      this.#runner.readEnded()
    }
    if (this.#judged) this.#runner.setControls(this.#held)
  }

  show(into: Message): void {
    into.u16(this.#runner.inputs).u8(this.#limited ? 1 : 0)
    for (let rises = 0; rises < RISES_SHOWN; rises++)
      into.u8(this.#runner.pinsAt(rises, 'high')).u8(this.#runner.pinsAt(rises, 'low'))
  }
}

type Step =
  | { readonly kind: 'report'; readonly held: number }
  | { readonly kind: 'let go' | 'tick' | 'read ended' }
  | { readonly kind: 'wish'; readonly atRest: boolean }
  | { readonly kind: 'load'; readonly profile: Profile; readonly bank: number }

/** Chords that the rules name are held more often than chance would have it, for about as long as they ask. */
const arbHeld = (profile: Profile): fc.Arbitrary<number> => {
  const chords = [...profile.powerOn, ...profile.bankChange].map(({ held }) => held)
  const hands = arbHandSteps(profile).map((steps) => steps[0]?.held ?? 0)
  if (chords.length === 0) return fc.oneof(hands, fc.constant(0))
  const chord = fc.constantFrom(...chords).map((controls) => controlMask(controls))
  return fc.oneof(chord, hands, fc.constant(0))
}

const arbStep = (profile: Profile): fc.Arbitrary<Step> =>
  fc.oneof(
    { weight: 6, arbitrary: arbHeld(profile).map((held) => ({ kind: 'report' as const, held })) },
    { weight: 4, arbitrary: fc.constantFrom<Step>({ kind: 'tick' }, { kind: 'read ended' }) },
    { weight: 3, arbitrary: fc.boolean().map((atRest) => ({ kind: 'wish' as const, atRest })) },
    { weight: 1, arbitrary: fc.constant<Step>({ kind: 'let go' }) },
    {
      weight: 1,
      arbitrary: fc.record({ kind: fc.constant('load' as const), profile: arbRunnable, bank: fc.nat(4) }),
    },
  )

const arbScene = arbRunnable.chain((profile) =>
  fc.record({
    profile: fc.constant(profile),
    bank: fc.nat(4),
    steps: fc.array(
      fc.record({
        afterMs: fc.oneof(
          fc.nat(3),
          fc.constantFrom(0, 1, 499, 500, ...profile.bankChange.map(({ forMs }) => forMs)),
          fc.nat(11_000),
        ),
        step: arbStep(profile),
      }),
      { minLength: 1, maxLength: 30 },
    ),
  }),
)

/** Random scenes through the C and through the book; throws where the two differ in any byte. */
export async function compareHands(
  ask: (message: Uint8Array) => Promise<Uint8Array>,
  numRuns: number,
): Promise<void> {
  await fc.assert(
    fc.asyncProperty(arbScene, async ({ profile, bank, steps }) => {
      const image = encodeImage(profile)
      const question = new Message().bytes(Buffer.from('h')).u8(bank).counted(image)
      const book = new HandsByTheBook(image, bank)
      const { cycles, after } = profile.chart
      const stays = after.kind === 'stay'
      const expected = new Message().u32(profile.idleResetNs).u8(profile.delayNs / 8)
      expected.u8(stays ? 1 : 0).u8(cycles.length + (stays ? 1 : 0))
      let nowMs = 0
      for (const { afterMs, step } of steps) {
        nowMs += afterMs
        act(step, nowMs, book, question, expected)
        book.show(expected)
      }
      const answer = await ask(question.done())
      if (Buffer.compare(answer, expected.done()) !== 0)
        throw new Error(
          `${Buffer.from(answer).toString('hex')}\n${Buffer.from(expected.done()).toString('hex')}`,
        )
    }),
    { numRuns },
  )
}

function act(step: Step, nowMs: number, book: HandsByTheBook, question: Message, expected: Message): void {
  const letter = (name: string) => question.bytes(Buffer.from(name)).u32(nowMs)
  switch (step.kind) {
    case 'report':
      letter('r').u32(step.held)
      return book.report(step.held, nowMs)
    case 'let go':
      letter('g')
      return book.letGo(nowMs)
    case 'tick':
      letter('t')
      return book.tick(nowMs)
    case 'read ended':
      letter('e')
      return book.readEnded()
    case 'wish': {
      letter('w').u8(step.atRest ? 1 : 0)
      const { bank, remembered } = book.takeWish(step.atRest)
      expected.u8(bank).u8(remembered ? 1 : 0)
      return
    }
    case 'load': {
      const image = encodeImage(step.profile)
      letter('l').u8(step.bank).counted(image)
      return book.load(image, step.bank, nowMs)
    }
  }
}
