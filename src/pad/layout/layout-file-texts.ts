import { texts } from '../../words/texts.ts'

/** What is wrong with a pad layout. */
export const t = texts('layout-file', {
  noun: 'pad layout',
  whole32: 'a whole number of 32 bits',
  unsigned31: 'a field without sign has 31 bits at most',
  fieldEnds: 'a field ends within the first {bytes} bytes of a report',
  arrayEnds: 'an array ends within the first {bytes} bytes of a report',
  axisCentre: 'the centre of an axis lies between its two ends',
  oneControl: 'at least one control has to be found',
  mostPlaces: '{most} places at most; these are {n}',
  axisOnce: 'an axis of a stick is found in one place only',
  numbered: 'either all reports of a pad have numbers or none has',
})
