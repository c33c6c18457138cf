import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import {
  MAIN_CTRL,
  SIE_CTRL,
  SIE_STATUS,
  USB,
  USB_BUFFER,
  USB_INT,
  USB_RAM,
} from '../../src/adapter/emulator/usb-registers.ts'
import { inCapitals } from '../../src/tables/table.ts'

/**
 * Firmware and emulated chip take the numbers of the USB controller from one table, so neither can find a wrong one in the other.
 * rp2040js has the same registers from the datasheet by other hands. Its USB part is used nowhere here but in this comparison.
 */
const source = readFileSync(
  new URL('../../node_modules/rp2040js/dist/esm/peripherals/usb.js', import.meta.url),
  'utf8',
)
const theirs = new Map(
  [...source.matchAll(/^const (\w+) = (?:1 << (\d+)|(0x[0-9a-f]+));/gm)].map(([, name, bit, number]) => [
    name,
    bit === undefined ? Number(number) : 2 ** Number(bit),
  ]),
)

/** Pairs of what both name: ours, theirs, by a rule from our names to theirs. */
const compared = (ours: Readonly<Record<string, number>>, nameOf: (name: string) => string) =>
  Object.entries(ours)
    .map(([name, number]) => ({ name: nameOf(name), number }))
    .filter(({ name }) => theirs.has(name))

const differing = (pairs: readonly { readonly name: string; readonly number: number }[]) =>
  pairs.filter(({ name, number }) => theirs.get(name) !== number)

test.each([
  [
    'registers',
    USB,
    (name: string) => ({ muxing: 'USB_MUXING', pwr: 'USB_PWR' })[name] ?? inCapitals(name),
    20,
  ],
  [
    'bits of SIE_CTRL',
    SIE_CTRL,
    (name: string) => `SIE_CTRL_${inCapitals(name).replace('INT1BUF', 'INT_1BUF')}`,
    11,
  ],
  ['bits of SIE_STATUS', SIE_STATUS, (name: string) => `SIE_${inCapitals(name)}`, 15],
  ['interrupts', USB_INT, (name: string) => `INTR_${inCapitals(name)}`, 20],
  ['bits of MAIN_CTRL', MAIN_CTRL, (name: string) => ({ host: 'HOST_NDEVICE' })[name] ?? inCapitals(name), 2],
  [
    'bits of buffer control',
    USB_BUFFER,
    (name: string) => `USB_BUF_CTRL_${{ data1: 'DATA1_PID' }[name] ?? inCapitals(name)}`,
    4,
  ],
  [
    'places in the dual-port RAM',
    USB_RAM,
    (name: string) =>
      ({
        setupAt: 'HOST_SETUP_PACKET',
        bufferControlAt: 'EP0_IN_BUFFER_CONTROL',
        epxBufferControlAt: 'HOST_EPX_BUF_CTRL',
        freeAt: 'HOST_EPX_DATA',
      })[name] ?? '',
    4,
  ],
] as const)('%s', (_, ours, nameOf, least) => {
  const pairs = compared(ours, nameOf)
  expect(pairs.length).toBeGreaterThanOrEqual(least)
  expect(differing(pairs)).toEqual([])
})
