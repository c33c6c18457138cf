import { readFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import * as pins from '../../../src/adapter/emulator/pins.ts'
import { PINS } from '../../../src/port/pins.ts'

it('has the pins where firmware/pins.h has them', () => {
  const header = readFileSync(new URL('../../../src/adapter/firmware/pins.h', import.meta.url), 'utf8')
  const gpio = (name: string): number => Number(new RegExp(`#define ${name} (\\d+)`).exec(header)?.[1])
  expect(PINS.map((pin) => gpio(`PIN_DE9_${pin}`))).toEqual([...pins.DATA_GPIOS])
  expect(gpio('PIN_DE9_7')).toBe(pins.SELECT_GPIO)
  expect(gpio('PIN_BUFFERS_OFF')).toBe(pins.BUFFER_ENABLE_GPIO)
  expect(gpio('PIN_VBUS_SWITCH')).toBe(pins.VBUS_SWITCH_GPIO)
  expect(gpio('PIN_VBUS_FAULT')).toBe(pins.VBUS_FAULT_GPIO)
  expect(gpio('PIN_VBUS_SENSE')).toBe(pins.VBUS_SENSE_GPIO)
  expect(gpio('PIN_LED')).toBe(pins.LED_GPIO)
})
