import { texts } from '../../words/texts.ts'

/** What has to be held for a bank: at power-on, while playing, or for a time while playing. */
export const t = texts('holds', {
  first: {
    way: {
      powerOn: 'Hold {held} while power comes on.',
      playing: 'Hold {held} while playing, then let go.',
      playingFor: 'Hold {held} for {seconds} s while playing, then let go.',
    },
  },
  or: {
    way: {
      powerOn: 'Or hold {held} while power comes on.',
      playing: 'Or hold {held} while playing, then let go.',
      playingFor: 'Or hold {held} for {seconds} s while playing, then let go.',
    },
  },
})
