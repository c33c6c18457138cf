import { texts } from '../../words/texts.ts'

export const t = texts('connector', {
  drawing: 'DE9, {face}',
  contacts: 'Contacts',
  supply: '+5 V',
  select: 'select',
  ground: 'ground',
  roles: '5: +5 V · 7: select · 8: ground · the others: data',
  seenFrom: 'Seen from',
  live: '<strong>Pin 5 is live.</strong> It carries +5 V from the console. Switch off and unplug before you connect or solder. Measure every pin against ground first: other ports with this connector put supply and ground elsewhere, and a short can harm the machine, the pad or you. The machine’s manual, local rules and a qualified technician come before this drawing.',

  contact: {
    role: {
      supply: 'pin {pin}: +5 V from the console',
      select: 'pin {pin}: select, driven by the console',
      ground: 'pin {pin}: ground',
      data: { isLow: { true: 'pin {pin} low: data', false: 'pin {pin}: data' } },
      same: { isLow: { true: 'pin {pin} low: data, {high}', false: 'pin {pin}: data, {high}' } },
      differs: {
        isLow: {
          true: 'pin {pin} low: data, {high} while select is high, {low} while it is low',
          false: 'pin {pin}: data, {high} while select is high, {low} while it is low',
        },
      },
    },
  },
})

/** What each view shows. */
export const faceTexts = texts('connector-faces', {
  console: 'console’s end, mating face (plug, pins)',
  ours: 'adapter’s end, mating face (socket, holes)',
  solder: 'adapter’s end, solder side (socket’s back)',
})

export const viewTexts = texts('connector-views', {
  console: 'console’s face',
  ours: 'adapter’s face',
  solder: 'solder side',
})
