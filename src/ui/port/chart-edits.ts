import type { Chart } from '../../port/chart.ts'
import { addCycle, removeCycle, setAfter, stopAfter } from '../../profile/chart-commands.ts'
import type { ChartCommand } from '../chart/chart-types.ts'
import { editTexts } from './port-texts.ts'

/** A command of the drawn chart, done with the profile's chart commands. */
export function runCommand(chart: Chart, command: ChartCommand): Chart {
  switch (command.kind) {
    case 'add-cycle':
      return addCycle(chart)
    case 'remove-cycle':
      return removeCycle(chart, command.cycle)
    case 'stop-after':
      return stopAfter(chart, command.cycle + 1)
    case 'start-again':
    case 'stay':
      return setAfter(chart, command.kind)
  }
}

/** What a command did, for the undo button. */
export const commandWords = (command: ChartCommand): string =>
  editTexts.command({ kind: command.kind, cycle: 'cycle' in command ? command.cycle + 1 : '' })
