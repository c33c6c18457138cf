import fc from 'fast-check'
import * as v from 'valibot'
import { describe, expect, it } from 'vitest'
import { documentSentence } from '../../src/document/document.ts'
import { readTitle, writeTitle } from '../../src/title/file.ts'
import { scheduleOf } from '../../src/title/schedule.ts'
import { TitleSchema } from '../../src/title/schema.ts'
import { shortOf } from '../../src/title/short-of-title.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { arbShortTitle } from './arbitrary-short.ts'
import { draws } from '../draws.ts'

/** Samples in the order of their phases: a title has them so, whatever the order in which somebody wrote them down. */
const inOrder = (short: ShortTitle): ShortTitle => ({
  ...short,
  samples: [...short.samples].sort(
    (a, b) => a.cycle - b.cycle || (a.level === b.level ? 0 : a.level === 'high' ? -1 : 1),
  ),
})

describe('a short title', () => {
  it('is a valid title, and comes back from it with every source', () => {
    fc.assert(
      fc.property(arbShortTitle, (short) => {
        const title = titleOfShort(short)
        const parsed = v.safeParse(TitleSchema, title, { abortEarly: true })
        expect(parsed.issues?.[0].message).toBeUndefined()
        expect(parsed.output).toEqual(title)
        expect(shortOf(title)).toEqual(inOrder(short))
      }),
      { numRuns: draws(2_000) },
    )
  })

  it('comes back from the file that is written of it', () => {
    fc.assert(
      fc.property(arbShortTitle, (short) => {
        const title = titleOfShort(short)
        const text = writeTitle(title)
        const read = readTitle(new TextEncoder().encode(text))
        if (!read.ok) throw new Error(documentSentence(read.error))
        expect(read.value).toEqual(title)
        expect(writeTitle(read.value)).toBe(text)
        expect(shortOf(read.value)).toEqual(inOrder(short))
      }),
      { numRuns: draws(500) },
    )
  })

  it('means the same, in whatever order its samples are written down', () => {
    fc.assert(
      fc.property(arbShortTitle, (short) => {
        const reversed = { ...short, samples: [...short.samples].reverse() }
        expect(titleOfShort(reversed)).toEqual(titleOfShort(short))
      }),
      { numRuns: draws(200) },
    )
  })

  // What DEVELOPERS.md says of a cycle and what files of version 2 said: common practice, no source.
  it('reads as it says: its edges alternate, and each sample stands in its phase', () => {
    fc.assert(
      fc.property(arbShortTitle, (short) => {
        const { cyclesPerRead, rest, drive, samples, readOffsetsNs } = short
        const { nodes, samples: taken, idleLevel, readsPerFrame } = scheduleOf(titleOfShort(short))
        const high = drive.kind === 'released' ? 'release' : 'high'
        expect([idleLevel, readsPerFrame]).toEqual([rest, readOffsetsNs.length])
        for (let read = 0; read < readOffsetsNs.length; read++) {
          const writes = nodes.filter((node) => node.read === read).flatMap((node) => node.writes ?? [])
          const cycle = rest === 'high' ? ['low', high] : [high, 'low']
          expect(writes).toEqual(Array.from({ length: cyclesPerRead }, () => cycle).flat())
        }
        const places = taken
          .filter(({ pins }) => Object.keys(pins).length > 0)
          .map(({ place, pins, when }) => ({
            // The phase chart, and what is said of a place, count a rise that opens the read.
            cycle: rest === 'low' ? place.cycle - 1 : place.cycle,
            level: place.level,
            pins,
            when,
          }))
        expect(places).toEqual(inOrder(short).samples)
        expect(samples).toHaveLength(places.length)
      }),
      { numRuns: draws(500) },
    )
  })

  it('is not the way to say a title that has more in it', () => {
    fc.assert(
      fc.property(arbShortTitle, fc.nat(), fc.nat(), (short, what, where) => {
        const title = titleOfShort(short)
        const [mode] = title.modes
        const [read] = mode?.reads ?? []
        if (mode === undefined || read === undefined || read.starts.kind !== 'frame')
          throw new Error('no read')
        const at = where % read.steps.length
        const step = read.steps[at] as (typeof read.steps)[number]
        const ofRead = (change: Partial<typeof read>) => ({
          ...title,
          modes: [{ ...mode, reads: [{ ...read, ...change }] }],
        })
        const bent = [
          { ...title, modes: [mode, { ...mode, name: 'menu' }] },
          { ...title, modes: [{ ...mode, reads: [read, read] }] },
          { ...title, modes: [{ ...mode, once: true }] },
          ofRead({ starts: { ...read.starts, everyFrames: 2 } }),
          ofRead({ starts: { ...read.starts, late: { ...read.starts.late, maxNs: 2_000, minNs: 1 } } }),
          ofRead({ starts: { kind: 'interval', after: { minNs: 1_000, maxNs: 2_000 } } }),
          ofRead({ stretch: { byNs: 1, times: 1 } }),
          ofRead({ steps: read.steps.toSpliced(at, 0, step) }),
          ofRead({ steps: read.steps.toSpliced(at, 1, { repeat: 1, steps: [step as never] }) }),
          ofRead({ steps: read.steps.toSpliced(at, 1, { ...step, since: 'step' } as never) }),
        ]
        expect(shortOf(bent[what % bent.length] as typeof title)).toBeNull()
      }),
      { numRuns: draws(1_000) },
    )
  })
})
