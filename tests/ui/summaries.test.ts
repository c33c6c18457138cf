import { expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { addCycle, setAfter, stopAfter } from '../../src/profile/chart-commands.ts'
import {
  adapterSummary,
  chartSummary,
  differenceWords,
  padSummary,
  profileSummary,
} from '../../src/ui/summaries.ts'
import type { BankView } from '../../src/ui/adapter/adapter-link.svelte.ts'
import { crcWords } from '../../src/words/hexadecimal.ts'

const six = BUILT_IN_PROFILES['six-button']

it('puts a chart into one line', () => {
  expect(chartSummary(six.chart)).toBe('six buttons, four cycles')
  expect(chartSummary(stopAfter(six.chart, 1))).toBe('one cycle, then stays')
  expect(chartSummary(setAfter(addCycle(stopAfter(six.chart, 2)), 'start-again'))).toBe(
    'three cycles, starts again',
  )
})

it('puts a profile into one line', () => {
  expect(profileSummary(six)).toBe('12 mapped')
  const layer = { kind: 'held', by: ['trigger-left'], mapping: {} } as const
  expect(profileSummary({ ...BUILT_IN_PROFILES['three-button'], layers: [layer, layer] })).toBe(
    '8 mapped, 2 layers',
  )
})

it('puts an adapter into one line', () => {
  const bank: BankView = { bank: 2, active: true, content: null, image: null, profile: null, sentence: null }
  const full = { ...bank, content: { length: 200, crc32: 1 } }
  expect(adapterSummary('none', true, null, null)).toBe('not connected')
  expect(adapterSummary('connecting', true, null, null)).toBe('connecting')
  expect(adapterSummary('open', true, bank, null)).toBe('demo, bank 2 empty')
  expect(adapterSummary('open', true, full, ['the name'])).toBe('demo, bank 2 differs')
  expect(adapterSummary('open', false, full, [])).toBe('connected, bank 2 equal')
  expect(adapterSummary('open', false, full, null)).toBe('connected, bank 2 unreadable')
  expect(adapterSummary('open', false, full, [], 'left port')).toBe('left port, bank 2 equal')
  expect(adapterSummary('open', true, full, [], 'left port')).toBe('left port (demo), bank 2 equal')
  expect(adapterSummary('none', true, null, null, 'left port')).toBe('not connected')
})

it('says where presses come from', () => {
  expect(padSummary('Loan pad (Vendor: 1209 Product: 0001)', true)).toBe('Loan pad')
  expect(padSummary(null, true)).toBe('no pad yet, keyboard')
  expect(padSummary(null, false)).toBe('keyboard')
})

it('lists differences as far as there is room', () => {
  expect(differenceWords(['2 cells', 'the delay'])).toBe('2 cells and the delay')
  expect(differenceWords(['a', 'b', 'c', 'd'])).toBe('a, b and more')
})

it('sets a CRC in two groups', () => {
  expect(crcWords(0x5a3c91e0)).toBe('5A3C 91E0')
  expect(crcWords(7)).toBe('0000 0007')
})
