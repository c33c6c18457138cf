import fc from 'fast-check'
import { controlMask } from '../../../src/pad/controls.ts'
import type { Layout } from '../../../src/pad/layout/schema.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { ControlsRunner } from '../../../src/profile/run-controls.ts'
import { AT } from '../../../src/profile/image-layout.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { arbHandSteps, arbProfile } from '../../arbitraries.ts'
import { arbitraryLayout } from '../../pad/arbitrary-layout.ts'
import { sealed } from '../../profile/image-bytes.ts'
import { Message } from './host-program.ts'

/** Every profile that the reply engine can run. */
export const arbRunnable: fc.Arbitrary<Profile> = fc
  .tuple(arbProfile, fc.nat(7))
  .map(([profile, steps]) => ({ ...profile, delayNs: 8 * steps }))

/** Pads that have room in one image: one of any size, or up to four smaller ones. */
export const arbPads: fc.Arbitrary<readonly Layout[]> = fc.oneof(
  fc.array(arbitraryLayout({ vias: ['hid', 'vendor'], extractors: 16 }), { maxLength: 4 }),
  fc.array(arbitraryLayout({ vias: ['hid', 'vendor'] }), { minLength: 1, maxLength: 1 }),
)

/** Kinds of repeats and two sticks: what version 2 has behind the bank changes where there are neither chords nor pads. */
const TAIL_BYTES = 36

/** The image of version 1 of a profile that says nothing that version 1 cannot say. It ends behind the bank changes. */
export function asVersion1(image: Uint8Array): Uint8Array {
  const old = Uint8Array.from([...image.subarray(0, -TAIL_BYTES - 4), 0, 0, 0, 0])
  old[AT.version] = 1
  new DataView(old.buffer).setUint16(AT.length, old.length, true)
  return sealed(old)
}

const RISES_SHOWN = 8

/** The state as the host program shows it. */
function show(hands: ControlsRunner, into: Message): void {
  into.u16(hands.inputs).u8(hands.firstCycleOnly ? 1 : 0)
  for (let rises = 0; rises < RISES_SHOWN; rises++)
    into.u8(hands.pinsAt(rises, 'high')).u8(hands.pinsAt(rises, 'low'))
}

type Step =
  | { readonly kind: 'report'; readonly held: number }
  | { readonly kind: 'let go' | 'tick' | 'read ended' }
  | { readonly kind: 'wish'; readonly atRest: boolean }
  | { readonly kind: 'load'; readonly profile: Profile; readonly bank: number }

/** Chords that the rules name are held more often than chance would have it, for about as long as they ask. */
const arbHeld = (profile: Profile): fc.Arbitrary<number> => {
  const chords = [...profile.powerOn, ...profile.bankChange, ...profile.chords].map(({ held }) => held)
  const hands = arbHandSteps(profile).map((steps) => steps[0]?.held ?? 0)
  if (chords.length === 0) return fc.oneof(hands, fc.constant(0))
  const chord = fc.constantFrom(...chords).map((controls) => controlMask(controls))
  const part = fc.constantFrom(...chords).chain((controls) => fc.subarray([...controls]).map(controlMask))
  return fc.oneof(chord, part, hands, fc.constant(0))
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
          fc.constantFrom(0, ...profile.chords.flatMap(({ withinMs }) => [withinMs, withinMs + 1])),
          fc.nat(11_000),
        ),
        step: arbStep(profile),
      }),
      { minLength: 1, maxLength: 30 },
    ),
  }),
)

/** Random scenes through the C and through the profile itself, which shares nothing with it but IMAGE.md; throws where the two differ in any byte. */
export async function compareInputState(
  ask: (message: Uint8Array) => Promise<Uint8Array>,
  numRuns: number,
): Promise<void> {
  await fc.assert(
    fc.asyncProperty(arbScene, async ({ profile, bank, steps }) => {
      const image = encodeImage(profile)
      const question = new Message().u8(bank).counted(image)
      const hands = new ControlsRunner(profile, bank)
      const { cycles, after } = profile.chart
      const stays = after.kind === 'stay'
      const expected = new Message().u32(profile.idleResetNs).u8(profile.delayNs / 8)
      expected.u8(stays ? 1 : 0).u8(cycles.length + (stays ? 1 : 0))
      let nowMs = 0
      for (const { afterMs, step } of steps) {
        nowMs += afterMs
        act(step, nowMs, hands, question, expected)
        show(hands, expected)
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

function act(step: Step, nowMs: number, hands: ControlsRunner, question: Message, expected: Message): void {
  const letter = (name: string) => question.bytes(Buffer.from(name)).u32(nowMs)
  switch (step.kind) {
    case 'report':
      letter('r').u32(step.held)
      return hands.report(step.held, nowMs)
    case 'let go':
      letter('g').u32(0)
      return hands.letGo(nowMs)
    case 'tick':
      letter('t')
      return hands.tick(nowMs)
    case 'read ended':
      letter('e')
      return hands.readEnded()
    case 'wish': {
      letter('w').u8(step.atRest ? 1 : 0)
      const { bank, remembered } = hands.takeWish(step.atRest)
      expected.u8(bank).u8(remembered ? 1 : 0)
      return
    }
    case 'load': {
      const image = encodeImage(step.profile)
      letter('l').u8(step.bank).counted(image)
      return hands.load(step.profile, step.bank, nowMs)
    }
  }
}
