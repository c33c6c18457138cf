import { texts } from '../words/texts.ts'

/** What is wrong with a document, whichever kind it is. */
export const t = texts('document', {
  tooLong: {
    bytes: {
      one: 'the file has {bytes} byte; a {noun} has {most} at most',
      other: 'the file has {bytes} bytes; a {noun} has {most} at most',
    },
  },
  empty: 'the file is empty',
  notUtf8: 'the file is not UTF-8 text',
  cutOff: 'the file is cut off: the JSON does not end',
  notJson: 'this is not JSON: {wanted} is needed here',
  notObject: 'a {noun} is a JSON object; this is {found}',
  otherFormat: 'a {noun} says {format} here; this is {found}',
  noFormat: 'a {noun} says {format} here; this is missing',
  newer:
    'this {noun} was written by a newer Ninepin (version {version}); this one reads up to version {known}',
  tooOld: 'version {version} can no longer be read',
  notValid: 'this is not a valid version {version} {noun}, so it cannot be migrated',
  missing: 'this is missing',
  unknownKey: 'unknown key',
  expected: 'expected {wanted}, found {found}',

  atByte: 'byte {byte}',
  atLine: 'line {line}',
  atLineAndColumn: 'line {line}, column {column}',
})

/** What was found where something else should stand, in so far as it is not quoted. */
export const foundTexts = texts('document-found', {
  nothing: 'nothing',
  list: 'a list',
  object: 'an object',
})

/** What should stand there. */
export const wantedTexts = texts('document-wanted', {
  object: 'an object',
  list: 'a list',
  text: 'a text',
  number: 'a number',
  boolean: 'true or false',
  oneOf: 'one of {names}',
  known: 'a known name ({some}, …)',
  other: 'something else',
  wholeFrom1: 'a whole number from 1 on',
  whole: 'a whole number from {min} to {max}',
})

/** What JSON needs at a place. */
export const jsonTexts = texts('json', {
  value: 'a value',
  'value|]': 'a value or ]',
  key: 'a key in quotes',
  'key|}': 'a key in quotes or {brace}',
  ':': 'a colon',
  ',|]': 'a comma or ]',
  ',|}': 'a comma or {brace}',
  end: 'the end of the file',
  quote: 'the closing quote of a text',
})

export const fieldTexts = texts('document-fields', {
  nameNeeded: 'a name is needed',
  nameSpaces: 'a name cannot start or end with a space',
  nameHalf: 'the name holds half a character; type it again',
  nameControls: 'a name stands on one line, without control characters',
  nameCharacters: {
    n: {
      one: 'the name has {n} character; {most} at most',
      other: 'the name has {n} characters; {most} at most',
    },
  },
  nameBytes: {
    n: {
      one: 'the name takes {n} byte; the adapter keeps {most} at most',
      other: 'the name takes {n} bytes; the adapter keeps {most} at most',
    },
  },
  notesHalf: 'the notes hold half a character; type it again',
  notesCharacters: {
    n: {
      one: 'the notes have {n} character; {most} at most',
      other: 'the notes have {n} characters; {most} at most',
    },
  },
  notesBytes: {
    n: {
      one: 'the notes take {n} byte; {most} at most',
      other: 'the notes take {n} bytes; {most} at most',
    },
  },
})
