import { describe, expect, test } from 'vitest'
import {
  DEVICE_ERRORS,
  PAD_OUTCOMES,
  REQUEST_TYPES,
  TRIAL_SLOT,
  TRIAL_STATES,
} from '../../src/adapter/constants.ts'
import { FLASH_MAP } from '../../src/adapter/flash-map.ts'
import { copyAt } from '../../src/adapter/flash-places.ts'
import { LIGHTS } from '../../src/adapter/lights.ts'

/** Numbers that adapters in use rely on: a table that is edited may add to them and change none. */

describe('the link, from version 1.1 on', () => {
  test('types of requests', () => {
    expect(REQUEST_TYPES).toMatchObject({
      identify: 1,
      status: 2,
      write: 3,
      commit: 4,
      read: 5,
      'select-bank': 6,
      monitor: 7,
      'set-controls': 8,
      'pad-history': 9,
      'read-stored': 10,
      'forget-pads': 11,
      'forget-trial': 12,
    })
  })

  test('codes of errors, from 1', () => {
    const known =
      'unknown message, wrong length, identify first, no such bank, image too large, out of range, incomplete, ' +
      'checksum differs, not an image, bank empty, memory failed, busy, nothing stored'
    expect(DEVICE_ERRORS.slice(0, 13).join(', ')).toBe(known)
  })

  test('what became of a pad, from 0', () => {
    expect(PAD_OUTCOMES.slice(0, 6)).toEqual(['served', 'no layout', 'hub', 'keyboard', 'no pad', 'failed'])
  })
})

test('the trial slot, from version 1.2 of the link on', () => {
  expect(TRIAL_SLOT).toBe(4)
  expect(TRIAL_STATES.slice(0, 4)).toEqual(['empty', 'armed', 'in use', 'used'])
  expect([FLASH_MAP.trialAt, FLASH_MAP.trialUsedAt, FLASH_MAP.trialUsedBytes]).toEqual([0x11f000, 0xf00, 16])
})

test('the flash map', () => {
  expect([0, 1, 2, 3].flatMap((bank) => [copyAt(bank, 0), copyAt(bank, 1)])).toEqual([
    0x100000, 0x101000, 0x102000, 0x103000, 0x104000, 0x105000, 0x106000, 0x107000,
  ])
  expect([FLASH_MAP.activeLogAt, FLASH_MAP.historyAt, FLASH_MAP.activityAt]).toEqual([
    0x110000, 0x112000, 0x11b000,
  ])
})

test('no two lights look alike, wherever in its two seconds one begins to look', () => {
  const turn = (pattern: number, by: number) =>
    by === 0 ? pattern >>> 0 : ((pattern << by) | (pattern >>> (32 - by))) >>> 0
  const turns = (pattern: number) => Array.from({ length: 32 }, (_, by) => turn(pattern, by))
  const least = LIGHTS.map(({ pattern }) => Math.min(...turns(pattern)))
  expect(new Set(least).size).toBe(LIGHTS.length)
})
