import { texts } from '../../words/texts.ts'

export const t = texts('look', {
  cancel: 'Cancel',
  titleBlock: 'Title block',
  sheet: 'Sheet',
  sheetHint: 'Paper, or the same sheet as a blueprint',
})

export const sheetTexts = texts('sheets', {
  system: 'system colours',
  paper: 'paper',
  blueprint: 'blueprint',
})
