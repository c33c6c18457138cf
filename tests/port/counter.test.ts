import { expect, it } from 'vitest'
import { SelectCounter } from '../../src/port/counter.ts'

it('counts rises only, and tells whether select moved', () => {
  const counter = new SelectCounter(10_000, 'high')
  expect([counter.rises, counter.level, counter.lastRiseNs, counter.nextResetNs]).toEqual([
    0,
    'high',
    null,
    null,
  ])
  expect(counter.select(10, 'high')).toBe(false)
  expect(counter.select(20, 'low')).toBe(true)
  expect(counter.nextResetNs).toBeNull()
  expect(counter.select(30, 'high')).toBe(true)
  expect([counter.rises, counter.level, counter.lastRiseNs, counter.nextResetNs]).toEqual([
    1,
    'high',
    30,
    10_030,
  ])
})

it('starts afresh when a reset is due, once', () => {
  const counter = new SelectCounter(10_000, 'low')
  expect(counter.resetBy(1e9)).toBeNull()
  counter.select(100, 'high')
  expect(counter.resetBy(10_099)).toBeNull()
  expect(counter.rises).toBe(1)
  expect(counter.resetBy(10_100)).toBe(10_100)
  expect([counter.rises, counter.lastRiseNs, counter.nextResetNs, counter.level]).toEqual([
    0,
    null,
    null,
    'high',
  ])
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
