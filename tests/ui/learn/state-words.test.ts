import { describe, expect, it } from 'vitest'
import type { LearnView } from '../../../src/pad/learn/learner.ts'
import type { ReportPlace } from '../../../src/pad/learn/places.ts'
import { asideWords, stateWords } from '../../../src/ui/learn/state-words.ts'

const place = (bit: number, kind: ReportPlace['kind'] = 'button'): ReportPlace => ({
  kind,
  field: { report: 0, bit, bits: 1, signed: false },
  count: 1,
  least: 0,
  most: 1,
})
const label = ({ field }: ReportPlace) => `Button ${field.bit + 1}`

const VIEW: LearnView = {
  phase: 'ask',
  silent: false,
  ask: { kind: 'press', control: 'face-east' },
  step: 'waiting',
  seen: null,
  besides: null,
  long: false,
  turns: 0,
  takenBy: null,
  asked: 1,
  of: 2,
  answers: [],
  aside: [],
}
const PUSH = { kind: 'push', stick: 'left', way: 'right' } as const
const says = (change: Partial<LearnView>) => stateWords({ ...VIEW, ...change }, label)

describe('what happens while a pad is learned, in words', () => {
  it('says what to do at each step', () => {
    const takenBy = { kind: 'press', control: 'face-south' } as const
    expect(says({})).toBe('Waiting for it.')
    expect(says({ step: 'let-go' })).toBe('Let go …')
    expect(says({ step: 'pressed' })).toBe('Something moves …')
    expect(says({ step: 'pressed', seen: place(4) })).toBe('Seen: Button 5. Let go.')
    expect(says({ step: 'pressed', seen: place(4), long: true })).toBe(
      'Button 5 stays away from rest. Let go; if nothing is held, choose “Repeat rest check”.',
    )
    expect(says({ step: 'taken', takenBy })).toBe(
      'That is already Face south. Press another one, or keep it for both.',
    )
    expect(says({ step: 'taken', takenBy: { ...PUSH, way: 'up' }, ask: PUSH })).toBe(
      'That is already Left stick up. Push it as asked, straight, or keep it for both.',
    )
    expect(says({ step: 'two', seen: place(0), besides: place(1) })).toBe(
      'Button 1 and Button 2 moved at once. Press one button only; if one button moves both, press it once more.',
    )
    expect(says({ step: 'two', seen: place(0), besides: place(1), ask: PUSH })).toMatch(
      /^Button 1 and Button 2 moved at once\. Push once more, straight/,
    )
    const ask = { kind: 'roll', stick: 'left' } as const
    expect(says({ ask })).toBe('Round 0 of 3. Keep it at its edge, and go one way round.')
    expect(says({ ask, turns: 2 })).toBe('Round 2 of 3.')
    expect(says({ ask, turns: 5, step: 'pressed' })).toBe('Round 3 of 3.')
    expect(says({ phase: 'lost' })).toBe('Nothing is lost: 0 of 2 stay learned.')
    expect(says({ phase: 'rest', silent: true })).toMatch(/sends no reports until a button is pressed/)
    expect(says({ phase: 'rest' })).toMatch(/a button restarts this check/)
  })

  it('tells what is not listened to, but for undescribed bytes', () => {
    const told = (aside: readonly ReportPlace[], phase: LearnView['phase'] = 'ask') =>
      asideWords({ ...VIEW, phase, aside }, label)
    expect(told([])).toBe('')
    expect(told([place(0, 'raw-bit'), place(1, 'raw-byte')])).toBe('')
    expect(told([place(0)], 'rest')).toBe('')
    expect(told([place(0), place(1)])).toBe(
      'Ignored, because it moved by itself or stayed pressed: Button 1, Button 2. If you touched it, choose “Repeat rest check”.',
    )
    expect(told([0, 1, 2, 3].map((bit) => place(bit)))).toMatch(/: Button 1, Button 2, Button 3, Button 4\. /)
    expect(told([0, 1, 2, 3, 4].map((bit) => place(bit)))).toMatch(
      /: Button 1, Button 2, Button 3, 2 more\. /,
    )
  })
})
