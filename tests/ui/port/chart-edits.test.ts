import { expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { commandWords, runCommand } from '../../../src/ui/port/chart-edits.ts'

const { chart } = BUILT_IN_PROFILES['six-button']

it('does what the head of a cycle offers', () => {
  expect(runCommand(chart, { kind: 'add-cycle' }).cycles).toHaveLength(5)
  expect(runCommand(chart, { kind: 'stop-after', cycle: 1 }).cycles).toEqual(chart.cycles.slice(0, 2))
  expect(runCommand(chart, { kind: 'remove-cycle', cycle: 2 }).cycles).toEqual(
    [0, 1, 3].map((k) => chart.cycles[k]),
  )
  expect(runCommand(chart, { kind: 'start-again' }).after).toEqual({ kind: 'start-again' })
  expect(runCommand(chart, { kind: 'stay' })).toEqual(chart)
})

it('leaves the last cycle where it is', () => {
  const { chart: one } = BUILT_IN_PROFILES['three-button']
  expect(runCommand(one, { kind: 'remove-cycle', cycle: 0 })).toEqual(one)
})

it('has words for the undo button', () => {
  expect(commandWords({ kind: 'stop-after', cycle: 1 })).toBe('stop after cycle 2')
  expect(commandWords({ kind: 'remove-cycle', cycle: 2 })).toBe('removal of cycle 3')
})
