import { texts } from '../words/texts.ts'

/** What there is to do first where a verdict is undecided. */
export const t = texts('decide', {
  describe: 'Describe how the title reads the port first.',
  simplify: 'Its reads can go in more ways than are followed: a simpler description can be decided.',
  decide: 'Find out first what it does: if {clean}, nothing has to change.',
  decideBy: 'Decide first. {trial} If {clean}, nothing has to change.',

  openFigures:
    'Not covered until it is decided: these figures are of the title as its file states it. {decide}',
  misreadFigures:
    'Not covered: these figures are of the title as its file states it, misread samples included.',
})
