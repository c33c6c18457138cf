import { expect, it } from 'vitest'
import { SelectCounter } from '../../src/port/counter.ts'

it('counts rises only, and tells whether select moved', () => {
  const counter = new SelectCounter(10_000, 'high')
  expect([counter.rises, counter.level, counter.nextResetNs]).toEqual([0, 'high', null])
  expect(counter.select(10, 'high')).toBe(false)
  expect(counter.select(20, 'low')).toBe(true)
  expect(counter.nextResetNs).toBeNull()
  expect(counter.select(30, 'high')).toBe(true)
  expect([counter.rises, counter.level, counter.nextResetNs]).toEqual([1, 'high', 10_030])
})

it('starts afresh when a reset is due, once', () => {
  const counter = new SelectCounter(10_000, 'low')
  expect(counter.resetBy(1e9)).toBeNull()
  counter.select(100, 'high')
  expect(counter.resetBy(10_099)).toBeNull()
  expect(counter.rises).toBe(1)
  expect(counter.resetBy(10_100)).toBe(10_100)
  expect([counter.rises, counter.nextResetNs, counter.level]).toEqual([0, null, 'high'])
  expect(counter.resetBy(1e9)).toBeNull()
})

it('from and to a level that is not known there is no rise', () => {
  const counter = new SelectCounter(10_000, 'low')
  expect(counter.select(1, 'unknown')).toBe(true)
  expect(counter.select(2, 'high')).toBe(true)
  expect(counter.select(3, 'unknown')).toBe(true)
  expect(counter.select(4, 'low')).toBe(true)
  expect(counter.rises).toBe(0)
  expect(counter.select(5, 'high')).toBe(true)
  expect(counter.rises).toBe(1)
})

it('goes on from what was counted before, and takes an idle reset of its own for each rise', () => {
  const resetsNs = [100, 300]
  const counter = new SelectCounter(() => resetsNs.shift() ?? 0, 'low', { rises: 3, resetNs: 50 })
  expect([counter.rises, counter.nextResetNs]).toEqual([3, 50])
  counter.select(40, 'high')
  expect([counter.rises, counter.nextResetNs]).toEqual([4, 140])
  counter.select(60, 'low')
  counter.select(90, 'high')
  expect([counter.rises, counter.nextResetNs]).toEqual([5, 390])
  expect(counter.resetBy(389)).toBeNull()
  expect(counter.resetBy(400)).toBe(390)
})

it('keeps what was counted before where no idle reset is to come', () => {
  const counter = new SelectCounter(10_000, 'low', { rises: 3, resetNs: null })
  expect(counter.resetBy(1e9)).toBeNull()
  expect(counter.rises).toBe(3)
  counter.select(2e9, 'high')
  expect(counter.rises).toBe(4)
})
