import { texts } from '../../words/texts.ts'

/** What the link to an adapter says when something is in its way. */
export const t = texts('adapter-link', {
  demoNotLoaded:
    'The demo adapter did not start: its firmware could not be loaded. Try again with a network.',
  reachNotLoaded: 'What it takes to reach an adapter could not be loaded. Check the network and try again.',
  unreadable: 'This image cannot be read here: {why}.',
  noDescriptor:
    'The adapter keeps no report descriptor of this pad. Plug the pad into it once more, with the console on.',
  startDemo: 'Start the demo adapter again',
  tryAgain: 'Try again',
  connectAgain: 'Connect again',
  readAgain: 'Read the banks again',
  flashAgain: 'Flash again',
})
