import { texts } from '../words/texts.ts'

/** In what two profiles differ, in a few words each. */
export const t = texts('profile-differences', {
  name: 'the name',
  cells: { n: { one: '{n} cell', other: '{n} cells' } },
  after: 'what comes after the last cycle',
  inputs: { n: { one: '{n} mapped input', other: '{n} mapped inputs' } },
  sticks: 'the sticks',
  layers: 'the layers',
  chords: 'the chords',
  opposite: 'opposite directions',
  repeat: 'auto-repeat',
  powerOn: 'the power-on rules',
  bankChange: 'the bank changes',
  idleReset: 'the idle reset',
  delay: 'the delay',
})
