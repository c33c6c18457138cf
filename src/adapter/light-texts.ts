import { texts } from '../words/texts.ts'

/** How each state of the adapter's light looks, in the order in which one hides the next; BANK is that of a bank change. */
export const looksTexts = texts('light-looks', {
  FAULT: 'flickers, eight times a second',
  OVER_CURRENT: 'flickers, four times a second',
  HUB: 'two short flashes every two seconds',
  KEYBOARD: 'three short flashes every two seconds',
  NOT_A_PAD: 'four short flashes every two seconds',
  PAD_FAILED: 'five short flashes every two seconds',
  PAD_UNKNOWN: 'a long flash and a short one every two seconds',
  NO_PAD: 'one short flash every two seconds',
  TRIAL: 'on and off, four times in two seconds',
  PAD_WAITS: 'a second on, a second off',
  READING: 'steady',
  SIX_BUTTONS: 'steady, with two short gaps every two seconds',
  BANK: 'one to four flashes, once',
})

/** What it means, and what to do. */
export const lightTexts = texts('light-meanings', {
  FAULT:
    'fault: the watchdog had to reset the chip, or the memory is worn; flash again, and replace the board if it stays',
  OVER_CURRENT: 'the pad draws too much current: unplug it; the adapter tries again every two seconds',
  HUB: 'a hub is plugged in: plug the pad in without it',
  KEYBOARD: 'a keyboard or mouse is plugged in, and no pad',
  NOT_A_PAD: 'the device is not a pad the adapter can read',
  PAD_FAILED:
    'the pad does not answer as it should: try another cable or port, or charge it; the adapter keeps trying',
  PAD_UNKNOWN:
    'the active bank has no layout for this pad: connect the adapter to the computer, and learn the pad there',
  NO_PAD: 'no pad has reported yet',
  TRIAL: 'the trial slot answers: pull the power, and the bank has its turn again',
  PAD_WAITS: 'the pad is there, and no console reads it',
  READING: 'the console reads the pad',
  SIX_BUTTONS: 'the console reads on to where the extra buttons answer',
  BANK: 'that bank is active now',
})
