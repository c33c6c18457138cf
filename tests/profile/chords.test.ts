import { expect, it } from 'vitest'
import { controlMask } from '../../src/pad/controls.ts'
import type { Control } from '../../src/pad/controls.ts'
import { Chords } from '../../src/profile/chords.ts'
import type { Chord } from '../../src/profile/schema.ts'

const chord = (held: Control[], withinMs = 40): Chord => ({ held, withinMs, inputs: ['start'] })
const played = (chords: Chord[], ...steps: readonly (readonly [number, ...Control[]])[]) => {
  const at = new Chords(chords)
  for (const [ms, ...held] of steps) {
    at.hold(controlMask(held), ms)
    at.look(ms)
  }
  return at
}

it('tells which chord is on where two ask for the same, and which controls wait', () => {
  const [three, two] = [chord(['face-south', 'face-east', 'face-west']), chord(['face-south', 'face-east'])]
  const all = played([three, two], [0, 'face-south', 'face-east', 'face-west'])
  expect(all.on).toEqual([three])
  expect(all.waiting).toBe(0)
  expect(played([three, two], [0, 'face-south', 'face-east']).on).toEqual([two])
  const one = played([three, two], [0, 'face-south'])
  expect([one.on, one.waiting]).toEqual([[], controlMask(['face-south'])])
  one.look(40)
  expect([one.waiting, one.passing]).toEqual([0, controlMask(['face-south'])])
})

it('has nothing waiting of a chord that is over, though it is still held', () => {
  const two = chord(['face-south', 'face-east'])
  const over = played([two], [0, 'face-south', 'face-east'], [5, 'face-south'])
  expect([over.on, over.waiting, over.passing]).toEqual([[], 0, 0])
})

it('has to be looked at again exactly while a control waits, or is passed on after it was let go', () => {
  const chords = [chord(['face-south', 'face-east'])]
  expect(played(chords).busy).toBe(false)
  expect(played(chords, [0, 'face-west']).busy).toBe(false)
  expect(played(chords, [0, 'face-south', 'face-east']).busy).toBe(false)
  expect(played(chords, [0, 'face-south', 'face-west']).busy).toBe(true)
  const waited = played(chords, [0, 'face-south'])
  waited.look(40)
  expect(waited.busy).toBe(false)
  const letGo = played(chords, [0, 'face-south'], [10])
  expect([letGo.busy, letGo.passing]).toEqual([true, controlMask(['face-south'])])
  letGo.look(20)
  expect([letGo.busy, letGo.passing]).toEqual([false, 0])
})
