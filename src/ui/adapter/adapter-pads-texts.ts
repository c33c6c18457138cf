import { texts } from '../../words/texts.ts'

/** Which pads go into the banks of an adapter. */
export const t = texts('adapter-pads', {
  leftOut: '{why}.',
  shadowed: '{name} is never used: {by} is for the same pad and newer. Leave one of them out.',
  room: '{pads} of {mostPads} pads, {places} of {mostPlaces} places in reports',
  noPad: 'no pad',

  title: 'Pads on this adapter',
  lead: 'Each bank you flash gets the profile and the layouts of the pads ticked here.',
  none: 'No pad has been learned yet. Pads of the vendor class work as they are; any other pad is learned once, in about a minute.',
  all: 'All that are on the shelf, and any learned later',
  goesIn: '{name} goes into the banks of this adapter',
  staysOut: 'stays out of this adapter',
  used: 'In a bank: {room}.',
  learn: 'Learn a pad',
})
