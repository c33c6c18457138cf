import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { VENDOR_LAYOUT } from '../../../src/pad/layout/built-in.ts'
import { readLayout } from '../../../src/pad/layout/file.ts'
import type { Layout } from '../../../src/pad/layout/schema.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { EMPTY_DESK, withDeskChange } from '../../../src/shelf/desk.ts'
import type { Desk, DeskChange } from '../../../src/shelf/desk.ts'
import type { LayoutEntry } from '../../../src/shelf/entry.ts'
import {
  padNames,
  padsAtAdapter,
  padsOfBank,
  roomWords,
  withMeant,
} from '../../../src/ui/adapter/adapter-pads.ts'
import { noteAdapter } from '../../../src/ui/adapter/note-adapter.ts'

const read = readLayout(readFileSync('static/demo/layouts/loan-pad.json'))
if (!read.ok) throw new Error(read.error.message)
const loan = read.value

const named = (name: string, productId: number, change: Partial<Layout> = {}): Layout => ({
  ...loan,
  name,
  pad: { ...loan.pad, productId },
  ...change,
})
const keep = (...documents: Layout[]): LayoutEntry[] =>
  documents.map((document, place) => ({
    kind: 'layout',
    id: document.name,
    revision: 1,
    place,
    origin: 'own',
    document,
  }))

const few = { extractors: loan.extractors.slice(0, 3) }
const stands = (kept: readonly LayoutEntry[], chosen: readonly string[] | null) =>
  padsAtAdapter(kept, chosen === null ? null : [...chosen]).map(
    ({ entry: { id }, isMeant, isIn, remark }) =>
      `${id}: ${isMeant ? 'meant' : 'not meant'}, ${isIn ? 'in' : 'out'}${remark === null ? '' : `, ${remark}`}`,
  )

describe('pads at an adapter', () => {
  it('are all that fit, unless some were chosen', () => {
    const kept = keep(named('One', 1), named('Two', 2))
    expect(stands(kept, null)).toEqual(['One: meant, in', 'Two: meant, in'])
    expect(stands(kept, ['Two'])).toEqual(['One: not meant, out', 'Two: meant, in'])
    expect(stands(kept, [])).toEqual(['One: not meant, out', 'Two: not meant, out'])
  })

  it('say why one does not fit, and which is never used', () => {
    const five = keep(...[1, 2, 3, 4, 5].map((k) => named(`Pad ${k}`, k, few)))
    expect(stands(five, null)[0]).toBe('Pad 1: meant, out, Pad 1 finds no room: a bank holds 4 pads.')
    // Whoever leaves one out makes room.
    expect(stands(five, withMeant(five, null, 'Pad 5', false))[0]).toBe('Pad 1: meant, in')
    const seen = named('Seen', 6, { pad: { ...loan.pad, via: 'gamepad' } })
    expect(stands(keep(seen), null)[0]).toContain('Seen: meant, out, Seen is known to the browser only')
    const one = (crc: number | null) => ({ pad: { ...loan.pad, productId: 1, descriptorCrc32: crc } })
    expect(stands(keep(named('Own', 1, one(7)), named('Any', 1)), null)[0]).toBe(
      'Own: meant, in, Own is never used: Any is for the same pad and newer. Leave one of them out.',
    )
    // The narrower one is the newer: both have their use.
    expect(stands(keep(named('Any', 1), named('Own', 1, one(7))), null)).toEqual([
      'Any: meant, in',
      'Own: meant, in',
    ])
    expect(stands(keep(named('A', 1, one(7)), named('B', 1, one(8))), null)[0]).toBe('A: meant, in')
  })

  it('keep to one adapter: what is said of one leaves the other as it is', () => {
    let desk: Desk = EMPTY_DESK
    const shelf = {
      get desk() {
        return desk
      },
      setDesk: (change: DeskChange) => (desk = withDeskChange(desk, change) as Desk),
    }
    noteAdapter(shelf, 'A1', { label: 'left port' })
    noteAdapter(shelf, 'B2', { layoutIds: ['One'] })
    noteAdapter(shelf, 'A1', { layoutIds: [] })
    expect(desk.adapters).toEqual({
      A1: { label: 'left port', layoutIds: [] },
      B2: { label: '', layoutIds: ['One'] },
    })
  })

  it('are chosen in the order of the shelf', () => {
    const kept = keep(named('One', 1), named('Two', 2), named('Three', 3))
    expect(withMeant(kept, null, 'Two', false)).toEqual(['One', 'Three'])
    expect(withMeant(kept, ['Three'], 'One', true)).toEqual(['One', 'Three'])
    // What is no longer on the shelf falls away.
    expect(withMeant(kept, ['Gone', 'Two'], 'Two', false)).toEqual([])
  })

  it('take room', () => {
    expect(roomWords([loan, VENDOR_LAYOUT])).toBe(
      `2 of 4 pads, ${loan.extractors.length + VENDOR_LAYOUT.extractors.length} of 64 places in reports`,
    )
    expect(padNames([])).toBe('no pad')
    expect(padNames([loan, VENDOR_LAYOUT])).toBe('Saltmarsh loan pad and Pad of the vendor class')
  })
})

it('the layouts of a bank come onto the shelf once: one that says the same stays, notes and all', () => {
  const image = encodeImage(BUILT_IN_PROFILES['six-button'], [loan, named('Two', 2)])
  const kept = keep(loan)
  expect(padsOfBank(image, kept)).toEqual({
    there: kept,
    missing: [{ kind: 'layout', document: { ...named('Two', 2), notes: '' } }],
  })
  expect(padsOfBank(image, keep({ ...loan, extractors: loan.extractors.slice(1) })).missing).toHaveLength(2)
  expect(padsOfBank(encodeImage(BUILT_IN_PROFILES['six-button']), kept)).toEqual({ there: [], missing: [] })
})
