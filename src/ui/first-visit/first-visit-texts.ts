import { texts } from '../../words/texts.ts'

export const t = texts('first-visit', {
  press: { pad: { true: 'Press any button.', false: 'Press any button on your pad.' } },
  portHas: {
    there: {
      true: 'The port has <strong>{inputs}</strong>.',
      false: 'The port is to have <strong>{inputs}</strong>.',
    },
  },
  onItsWay: {
    demo: {
      true: 'Down the cable, through the demo adapter, to the nine pins on the right.',
      false: 'Down the cable, through the adapter, to the nine pins on the right.',
    },
  },
  connected: '{pad} connected.',
  lights: 'It lights up here, in the chart, and on the connector.',
  noPad: 'No pad to hand? Press the drawing or use the keyboard: {keys}.',
  ways: 'Ways on',
  misreads: 'See why a title misreads',
  symptoms: 'Diagnose by symptom',
  setUp: 'Set up the adapter',
  openFile: 'Open a file',
  console: 'What the console sees',
  shown: {
    from: {
      adapter: '<strong>{profile}</strong>, as it is in the adapter. Filled means pressed.',
      demo: '<strong>{profile}</strong>, as it is in the demo adapter. Filled means pressed.',
      none: '<strong>{profile}</strong>, the open profile: no adapter is connected. Filled means pressed.',
      starting:
        '<strong>{profile}</strong>, the open profile: the adapter is starting. Filled means pressed.',
      demoStarting:
        '<strong>{profile}</strong>, the open profile: the demo adapter is starting. Filled means pressed.',
    },
  },
})
