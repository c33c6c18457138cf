import { texts } from '../../words/texts.ts'

/** The plan of the banks in sentences. What is held comes as a list of controls; `way` is how a bank is chosen. */
export const t = texts('plan', {
  nothingHeld: 'Switch the console on with nothing held.',
  noRoom: 'No rule has room left for a hold: make it the active bank in the app.',
  back: {
    way: {
      app: 'The bank stays active until you leave it. Back to bank 1: choose it in the app.',
      powerOn: 'The bank stays active until you leave it. Back to bank 1: hold {held} while power comes on.',
      playing:
        'The bank stays active until you leave it. Back to bank 1: hold {held} while playing, then let go.',
      playingFor:
        'The bank stays active until you leave it. Back to bank 1: hold {held} for {seconds} s while playing, then let go.',
    },
  },
  firstCycle: {
    way: {
      app: 'Make it the active bank in the app, switch the console off, and hold {then} while power comes on.',
      powerOn:
        'Hold {held} while power comes on, switch the console off, and hold {then} while power comes on.',
      playing:
        'Hold {held} while playing, then let go, switch the console off, and hold {then} while power comes on.',
      playingFor:
        'Hold {held} for {seconds} s while playing, then let go, switch the console off, and hold {then} while power comes on.',
    },
  },
  noFirstCycle: 'No control is free for this hold. Take a rule out of the profile and plan again.',
  others: 'While a hold or the app has made another bank the active one:',
  other: {
    way: {
      app: 'From bank {from} to bank {to}: make it the active bank in the app.',
      powerOn: 'From bank {from} to bank {to}: hold {held} while power comes on.',
      playing: 'From bank {from} to bank {to}: hold {held} while playing, then let go.',
      playingFor: 'From bank {from} to bank {to}: hold {held} for {seconds} s while playing, then let go.',
    },
  },
  powerOnNote:
    'A hold is checked half a second after the pad’s first report. If a title has looked for six buttons by then, press reset on the console.',

  covers: {
    banks: {
      one: {
        titles: {
          one: '{banks} bank covers {covered} of {titles} title.',
          other: '{banks} bank covers {covered} of {titles} titles.',
        },
      },
      other: {
        titles: {
          one: '{banks} banks cover {covered} of {titles} title.',
          other: '{banks} banks cover {covered} of {titles} titles.',
        },
      },
    },
  },
  coversNone: 'None of these profiles covers any of these titles.',
  margin: '{time} margin',
  anyTiming: 'not timing-dependent',
  noBank: 'No bank is left for {profiles}. Leave other titles out to make room.',
  closest: 'No profile here reads it right; {profile} comes closest. {reason}',
})
