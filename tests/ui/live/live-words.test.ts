import { describe, expect, it } from 'vitest'
import { controlMask } from '../../../src/pad/controls.ts'
import type { Control } from '../../../src/pad/controls.ts'
import { maskOf } from '../../../src/port/pins.ts'
import { PLAIN } from '../../bench/plain-titles.ts'
import {
  chordsWord,
  controlWords,
  inputsWord,
  layersWord,
  repeatsWord,
  reportWords,
  seesWords,
  whoSees,
} from '../../../src/ui/live/live-words.ts'

const held = (...controls: Control[]) => controlMask(controls)

describe('the live view in words', () => {
  it('a report, with its number where it has one', () => {
    expect(reportWords({ number: 3, data: Uint8Array.of(8, 0, 161) })).toBe('03: 08 00 A1')
    expect(reportWords({ number: 0, data: Uint8Array.of(255) })).toBe('FF')
  })

  it('what is held and pressed', () => {
    expect(controlWords(held('face-south', 'dpad-up'))).toBe('Face south and D-pad up')
    expect([controlWords(0), inputsWord(0), inputsWord(maskOf(['up', 'a']))]).toEqual([
      'nothing',
      'nothing',
      'Up and A',
    ])
  })

  it('the layers that are on', () => {
    const layers = [
      { kind: 'held', by: ['trigger-left'], mapping: {} },
      { kind: 'toggled', by: ['centre'], mapping: {} },
    ] as const
    expect(layersWord(layers, [])).toBe('none is on')
    expect(layersWord(layers, [layers[1]])).toBe('layer 2 (toggled by Centre)')
    expect(layersWord(layers, layers)).toBe('layer 1 (held by Left trigger), layer 2 (toggled by Centre)')
  })

  it('the chords that are on, and what waits for the rest of one', () => {
    const chords = [{ held: ['face-south', 'face-east'], withinMs: 40, inputs: ['start'] }] as const
    expect(chordsWord([], 0)).toBe('none is on')
    expect(chordsWord([], held('face-south'))).toBe('Face south held back')
    expect(chordsWord(chords, 0)).toBe('Face south and Face east for Start')
    expect(chordsWord(chords, held('dpad-up'))).toBe('Face south and Face east for Start, D-pad up held back')
  })

  it('auto-repeats of what is asked for', () => {
    const repeat = {
      a: { kind: 'time', pressedMs: 30, releasedMs: 20 },
      b: { kind: 'reads', pressedReads: 2, releasedReads: 1 },
    } as const
    expect(repeatsWord({ repeat }, 0, 0)).toBe('none')
    expect(repeatsWord({ repeat }, maskOf(['a']), maskOf(['a', 'b', 'up']))).toBe(
      'A every 50 ms (pressed), B 2 of 3 reads',
    )
    expect(repeatsWord({ repeat }, 0, maskOf(['a']))).toBe('A every 50 ms (released)')
  })

  it('says in which mode a title sees it, where it has several', () => {
    const [mode] = PLAIN.once.modes
    if (!mode) throw new Error('a mode was expected')
    const played = (...names: string[]) =>
      whoSees({ ...PLAIN.once, modes: names.map((name) => ({ ...mode, name })) })
    expect(played('In play')).toBe('Once a frame sees')
    expect(played('Menu', 'In play')).toBe('Once a frame sees in its mode In play')
    expect(whoSees({ ...PLAIN.once, modes: [mode, mode] })).toBe('Once a frame sees')
  })

  it('what the title sees, right or wrong, and what it never samples', () => {
    const three = maskOf(['up', 'down', 'left', 'right', 'a', 'b', 'c', 'start'])
    const picture = (inputs: number, reads = 1, sixButtons = false) => ({
      inputs,
      reads,
      sixButtons,
      sampled: three,
    })
    expect(seesWords([picture(maskOf(['up']))], maskOf(['up', 'x']))).toEqual({
      sentence: 'Up. It does not sample X.',
      isRight: true,
    })
    expect(seesWords([picture(maskOf(['up', 'down']))], 0)).toEqual({
      sentence: 'Up and Down.',
      isRight: false,
    })
    expect(seesWords([picture(0, 3), picture(maskOf(['up']), 1, true)], 0)).toEqual({
      sentence: 'nothing in 3 of 4 reads, Up with six buttons in 1 of 4 reads.',
      isRight: false,
    })
    // An extra button that only some reads sample is missed by the others.
    const x = maskOf(['x'])
    const six = { inputs: x, reads: 1, sixButtons: true, sampled: three | x }
    expect(seesWords([six, picture(0)], x).isRight).toBe(false)
    expect(seesWords([six], x).isRight).toBe(true)
  })
})
