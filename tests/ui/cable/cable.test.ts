import { render } from 'svelte/server'
import { describe, expect, test } from 'vitest'
import Cable from '../../../src/ui/cable/Cable.svelte'
import type { Station } from '../../../src/ui/cable/cable-types.ts'

const stations: Station[] = [
  { id: 'pad', label: 'Pad', state: 'twin-stick pad, learned' },
  { id: 'profile', label: 'Profile', state: '8 mapped, 2 layers' },
  { id: 'adapter', label: 'Adapter', state: 'demo, bank 2 differs' },
  { id: 'port', label: 'Port', state: 'six buttons, four cycles' },
  { id: 'titles', label: 'Titles', state: '1 misread, 1 tight', tone: 'misread' },
]

describe('the cable', () => {
  const html = render(Cable, { props: { stations, current: 'port' } }).body
  const links = [...html.matchAll(/<a [^>]*>/g)].map(([tag]) => tag)

  test('is links, so that back works, one a station and in order', () => {
    expect(links.map((tag) => /href="([^"]*)"/.exec(tag)?.[1])).toEqual([
      '#pad',
      '#profile',
      '#adapter',
      '#port',
      '#titles',
    ])
  })

  test('marks the chosen one and no other', () => {
    expect(links.filter((tag) => tag.includes('aria-current="page"'))).toHaveLength(1)
    expect(links[3]).toContain('aria-current="page"')
  })

  test('sets the DE9 pair between adapter and port, silently', () => {
    const order = ['#adapter', 'class="pair', '#port'].map((mark) => html.indexOf(mark))
    expect(order).toEqual(order.toSorted((p, q) => p - q))
    expect(order.every((at) => at > 0)).toBe(true)
    expect(html).toMatch(/<li class="pair[^>]*aria-hidden="true"/)
  })

  test('a misread has its mark beside its word, and nothing else has one', () => {
    expect(html.match(/class="mark/g)).toHaveLength(1)
    expect(html.indexOf('class="mark')).toBeGreaterThan(html.indexOf('#titles'))
  })
})
