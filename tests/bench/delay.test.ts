import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { delayBudget, figuresOf } from '../../src/bench/delay/budget.ts'
import { even, fixed, probabilityBy, quantileNs, sum } from '../../src/bench/delay/law.ts'
import type { Law } from '../../src/bench/delay/law.ts'
import { REPORT_TO_PINS_NS, pressDelay } from '../../src/bench/delay/press.ts'
import { waitForFrame, waitForSample } from '../../src/bench/delay/wait.ts'
import type { SamplePattern } from '../../src/bench/delay/wait.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { frameNs } from '../../src/port/clocks.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Title } from '../../src/title/schema.ts'
import { title } from './steps-titles.ts'
import { PLAIN } from './plain-titles.ts'
import { withShort } from './short-titles.ts'

const six = BUILT_IN_PROFILES['six-button']

const DRAWS = 200_000
/**
 * The Dvoretzky–Kiefer–Wolfowitz inequality with Massart's constant (Annals of Probability 18, 1990): an empirical distribution of n draws is
 * off by more than ε anywhere with a probability of at most 2·exp(−2nε²). Here that is one in a million.
 */
const EPSILON = Math.sqrt(Math.log(2 / 1e-6) / (2 * DRAWS))

/** Numbers from 0 to 1 by a multiplicative generator modulo 2³¹ − 1 (Park and Miller, CACM 31, 1988), the same in every run. */
function dice(seed: number): () => number {
  let state = seed
  return () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647
}

/** The largest distance between a law and so many draws, looked for in 400 places. */
function distance(law: Law, draw: () => number): number {
  const drawn = Float64Array.from({ length: DRAWS }, draw).sort()
  let most = 0
  for (let k = 0; k < DRAWS; k += DRAWS / 400) {
    const ns = Math.floor(drawn[k] as number)
    let below = k
    while (below < DRAWS && (drawn[below] as number) <= ns) below++
    while (below > 0 && (drawn[below - 1] as number) > ns) below--
    most = Math.max(most, Math.abs(below / DRAWS - probabilityBy(law, ns)))
  }
  return most
}

/** The beginning of a press's way through a title, drawn as it happens: a moment, the samples around it, the first that comes. */
function drawWait(pattern: SamplePattern, lengthNs: number, jitterNs: number, random: () => number) {
  const atNs = random() * pattern.length * lengthNs
  let best = { sampleNs: Infinity, frame: 0 }
  for (let frame = -pattern.length; frame < 2 * pattern.length; frame++) {
    const jitters = new Map<number, number>()
    for (const { atNs: placeNs, read } of pattern[(frame + pattern.length) % pattern.length] ?? []) {
      const late = jitters.get(read) ?? random() * jitterNs
      jitters.set(read, late)
      const sampleNs = frame * lengthNs + placeNs + late
      if (sampleNs >= atNs && sampleNs < best.sampleNs) best = { sampleNs, frame }
    }
  }
  return { waitNs: best.sampleNs - atNs, shownNs: (best.frame + 1) * lengthNs - atNs }
}

const arbSpan = fc
  .tuple(fc.nat(20_000_000), fc.integer({ min: 1, max: 20_000_000 }))
  .map(([minNs, width]) => ({ minNs, maxNs: minNs + width, law: even(minNs, minNs + width) }))

describe('the law of a delay', () => {
  it('the sum of two even ranges is a trapezoid', () => {
    // Closed form of elementary probability: a ramp, a straight line, a ramp.
    fc.assert(
      fc.property(arbSpan, arbSpan, fc.double({ min: 0, max: 1, noNaN: true }), (p, q, at) => {
        const [a, b] = [p.maxNs - p.minNs, q.maxNs - q.minNs].sort((x, y) => x - y) as [number, number]
        const x = Math.floor(at * (a + b))
        const expected =
          x <= a
            ? (x * x) / (2 * a * b)
            : x <= b
              ? (x - a / 2) / b
              : 1 - ((a + b - x) * (a + b - x)) / (2 * a * b)
        expect(probabilityBy(sum(p.law, q.law), p.minNs + q.minNs + x)).toBeCloseTo(expected, 12)
      }),
    )
  })

  it('the sum of three equal ranges follows Irwin and Hall', () => {
    // Irwin–Hall distribution, n = 3, F(1) = 1/6, F(3/2) = 1/2, F(2) = 5/6 (closed form Σ(−1)ᵏ C(n,k) (x−k)ⁿ / n!).
    const one = even(0, 1_000)
    const three = sum(sum(one, one), one)
    expect([1_000, 1_500, 2_000, 3_000].map((ns) => probabilityBy(three, ns))).toEqual([
      expect.closeTo(1 / 6, 15),
      0.5,
      expect.closeTo(5 / 6, 15),
      1,
    ])
    expect(probabilityBy(three, 500)).toBeCloseTo(0.5 ** 3 / 6, 15)
  })

  it('a fixed time shifts and does nothing else', () => {
    fc.assert(
      fc.property(arbSpan, fc.nat(20_000_000), fc.nat(50_000_000), ({ law }, ns, at) => {
        expect(probabilityBy(sum(law, fixed(ns)), at)).toBe(probabilityBy(law, at - ns))
      }),
    )
    expect(figuresOf(fixed(7))).toEqual({ minNs: 7, medianNs: 7, p95Ns: 7, maxNs: 7 })
  })

  it('the quantile is the least whole ns that reaches its share, and no delay is outside its ends', () => {
    fc.assert(
      fc.property(
        fc.array(arbSpan, { minLength: 1, maxLength: 4 }),
        fc.integer({ min: 1, max: 100 }),
        (spans, percent) => {
          const law = spans.map((span) => span.law).reduce(sum)
          const ns = quantileNs(law, percent)
          expect(probabilityBy(law, ns)).toBeGreaterThanOrEqual(percent / 100 - 1e-15)
          expect(probabilityBy(law, ns - 1)).toBeLessThan(percent / 100)
          expect(probabilityBy(law, law.minNs - 1)).toBe(0)
          expect(probabilityBy(law, law.maxNs)).toBe(1)
        },
      ),
    )
  })

  it('does not round: one ns beside 100 ms', () => {
    const law = sum(sum(even(0, 100_000_000), even(0, 1)), even(0, 1))
    expect(quantileNs(law, 50)).toBe(50_000_001)
    expect(quantileNs(even(0, 99), 50)).toBe(50)
    expect(quantileNs(even(0, 100), 50)).toBe(50)
    expect(quantileNs(even(0, 101), 50)).toBe(51)
  })
})

/** Patterns of one to three frames, each with reads whose jitter cannot make them meet, some frames without a sample. */
const FRAME = 16_000
const arbPattern: fc.Arbitrary<SamplePattern> = fc
  .array(
    fc
      .uniqueArray(fc.constantFrom(0, 1, 2), { maxLength: 3 })
      .chain((reads) =>
        fc.tuple(...reads.map((read) => fc.tuple(fc.constant(read), fc.integer({ min: 1, max: 3 })))),
      )
      .map((reads) =>
        reads.flatMap(([read, samples]) =>
          Array.from({ length: samples }, (_, k) => ({ atNs: read * 5_000 + 100 + k * 700, read })),
        ),
      ),
    { minLength: 1, maxLength: 3 },
  )
  .filter((frames) => frames.some((samples) => samples.length > 0))

describe('the wait for a sample', () => {
  it('of one sample a frame is even over the frame', () => {
    const law = waitForSample([[{ atNs: 4_000, read: 0 }]], FRAME, 0)
    expect(law).toEqual(even(0, FRAME))
    expect(waitForFrame([[{ atNs: 4_000, read: 0 }]], FRAME, 0)).toEqual({ ...even(12_000, 28_000) })
  })

  it('with jitter, on average: half of E[G²] / E[G], G from one sample to the next', () => {
    // The inspection paradox of renewal theory. For one sample a frame G is the frame and the difference of two even jitters, of variance j²/6.
    const jitterNs = 3_000
    const law = waitForSample([[{ atNs: 4_000, read: 0 }]], FRAME, jitterNs)
    let mean = 0
    for (let ns = 0; ns <= law.maxNs; ns++) mean += 1 - probabilityBy(law, ns)
    // Sum of a tail over whole ns: half a step above the integral.
    expect(mean - 0.5).toBeCloseTo((FRAME ** 2 + jitterNs ** 2 / 6) / FRAME / 2, 2)
  })

  it('is never made longer by one more sample', () => {
    fc.assert(
      fc.property(arbPattern, fc.nat(2_000), fc.nat(60_000), (pattern, jitterNs, ns) => {
        const more = pattern.map((samples, k) =>
          k === 0 ? [...samples, { atNs: 14_800, read: 9 }] : samples,
        )
        // Jitter of the added read would take it into the next frame.
        const spread = Math.min(jitterNs, 1_200)
        const before = probabilityBy(waitForSample(pattern, FRAME, spread), ns)
        expect(probabilityBy(waitForSample(more, FRAME, spread), ns)).toBeGreaterThanOrEqual(before - 1e-12)
      }),
    )
  })

  it('draws as it happens agree, for the sample and for the frame after it', () => {
    const patterns = fc.sample(fc.tuple(arbPattern, fc.constantFrom(0, 1, 900, 3_000)), {
      seed: 5,
      numRuns: 8,
    })
    patterns.forEach(([pattern, jitterNs], k) => {
      const random = dice(k + 1)
      const sample = waitForSample(pattern, FRAME, jitterNs)
      const frame = waitForFrame(pattern, FRAME, jitterNs)
      const seen = { sample: Infinity, frame: Infinity, longest: 0 }
      expect(
        distance(sample, () => {
          const { waitNs } = drawWait(pattern, FRAME, jitterNs, random)
          seen.sample = Math.min(seen.sample, waitNs)
          seen.longest = Math.max(seen.longest, waitNs)
          return waitNs
        }),
      ).toBeLessThan(EPSILON)
      expect(
        distance(frame, () => {
          const { shownNs } = drawWait(pattern, FRAME, jitterNs, random)
          seen.frame = Math.min(seen.frame, shownNs)
          return shownNs
        }),
      ).toBeLessThan(EPSILON)
      expect(seen.sample).toBeGreaterThanOrEqual(sample.minNs)
      expect(seen.longest).toBeLessThanOrEqual(sample.maxNs)
      expect(seen.frame).toBeGreaterThanOrEqual(frame.minNs)
    })
  })
})

describe('the budget', () => {
  it('lists each part and adds up the ends', () => {
    const { rows, total } = delayBudget([
      { what: 'one', law: even(10, 30) },
      { what: 'two', law: fixed(5) },
    ])
    expect(rows).toEqual([
      { what: 'one', minNs: 10, medianNs: 20, p95Ns: 29, maxNs: 30 },
      { what: 'two', minNs: 5, medianNs: 5, p95Ns: 5, maxNs: 5 },
    ])
    expect(total).toEqual({ minNs: 15, medianNs: 25, p95Ns: 34, maxNs: 35 })
  })

  it('the bars of the density hold all delays, none of them less than nothing', () => {
    fc.assert(
      fc.property(fc.array(arbSpan, { minLength: 1, maxLength: 3 }), (spans) => {
        const { density, total } = delayBudget(spans.map(({ law }) => ({ what: '', law })))
        expect(density.values.every((value) => value >= 0)).toBe(true)
        expect(density.values.length).toBeLessThanOrEqual(120)
        expect(density.values.reduce((all, value) => all + value, 0)).toBeCloseTo(1, 12)
        expect(density.fromNs + density.stepNs * density.values.length).toBeGreaterThanOrEqual(total.maxNs)
        let until = 0
        const bars = density.values.findIndex((value) => (until += value) >= 0.5 - 1e-12) + 1
        expect(density.fromNs + bars * density.stepNs).toBeGreaterThanOrEqual(total.medianNs)
        expect(density.fromNs + (bars - 1) * density.stepNs).toBeLessThanOrEqual(total.medianNs)
      }),
    )
    expect(delayBudget([{ what: '', law: fixed(5) }]).density).toEqual({ fromNs: 5, stepNs: 1, values: [1] })
  })
})

describe('from the finger to a title', () => {
  const options = { adapter: REFERENCE_ADAPTER, padIntervalMs: 8 }
  const of = (title: Title, more: Partial<Parameters<typeof pressDelay>[2]> = {}) => {
    const delay = pressDelay(six, title, { ...options, ...more })
    if (!delay.ok) throw new Error(delay.error)
    return delay.value
  }

  it('draws as it happens agree with the total, jitter of the reads included', () => {
    const title = withShort(PLAIN.released, { readJitterNs: 900_000 })
    const { toSample, toFrame } = of(title)
    // By hand: phases high and low of both reads, 2300 ns after edges 4200 ns apart; the low edge and its sample follow one edge later.
    const samples = [300_000, 8_300_000].flatMap((offset, read) => [
      { atNs: offset + 2_300, read },
      { atNs: offset + 6_500, read },
    ])
    const lengthNs = frameNs('525-line')
    const random = dice(11)
    const hand = () => random() * 8e6 + random() * 8e6 + random() * REPORT_TO_PINS_NS
    const budget = [toSample, toFrame].map(({ total }) => total)
    const drawn = [
      Float64Array.from(
        { length: DRAWS },
        () => hand() + drawWait([samples], lengthNs, 900_000, random).waitNs,
      ),
      Float64Array.from(
        { length: DRAWS },
        () => hand() + drawWait([samples], lengthNs, 900_000, random).shownNs,
      ),
    ]
    drawn.forEach((draws, k) => {
      const { minNs, medianNs, p95Ns, maxNs } = budget[k] as (typeof budget)[0]
      const share = (ns: number) => draws.filter((drawnNs) => drawnNs <= ns).length / DRAWS
      expect(Math.abs(share(medianNs) - 0.5)).toBeLessThan(EPSILON)
      expect(Math.abs(share(p95Ns) - 0.95)).toBeLessThan(EPSILON)
      expect(share(minNs - 1)).toBe(0)
      expect(share(maxNs)).toBe(1)
    })
  })

  it('a title that samples once a frame: the ends by hand', () => {
    const { input, samplesPerFrame, toSample, toFrame } = of(PLAIN.once, { input: 'a' })
    const lengthNs = frameNs('525-line')
    // A is in the low phase: offset 120 µs, edge at 2750, sample 2430 after it.
    const sampleNs = 120_000 + 2_750 + 2_430
    expect({ input, samplesPerFrame }).toEqual({ input: 'a', samplesPerFrame: 1 })
    expect(toSample.rows.at(-1)).toEqual({
      what: 'the title’s next sample of A',
      minNs: 0,
      medianNs: Math.ceil(lengthNs / 2),
      p95Ns: Math.ceil(lengthNs * 0.95),
      maxNs: lengthNs,
    })
    expect(toSample.total).toMatchObject({ minNs: 0, maxNs: 16_000_000 + 50_000 + lengthNs })
    expect(toFrame.total).toMatchObject({
      minNs: lengthNs - sampleNs,
      maxNs: 16_050_000 + 2 * lengthNs - sampleNs,
    })
  })

  it('counts no sample that shows something else than the press', () => {
    // Five cycles in one go: up shows at all highs and lows but the third low (always low), fourth high (Z) and fourth low (always high).
    expect(of(PLAIN.burst, { input: 'up' }).samplesPerFrame).toBe(7)
    expect(of(PLAIN.burst, { input: 'a' }).samplesPerFrame).toBe(5)
  })

  it('X counts where the title believes in six buttons', () => {
    expect(of(PLAIN.six, { input: 'x' }).samplesPerFrame).toBe(1)
    const three = pressDelay(BUILT_IN_PROFILES['three-button'], PLAIN.six, {
      ...options,
      input: 'x',
    })
    expect(three).toEqual({
      ok: false,
      error: 'Six by identification never sees X pressed with this profile; choose an input that it reads',
    })
  })

  it('takes the first input that is seen, and refuses a pair that shows nothing', () => {
    expect(of(PLAIN.quick).input).toBe('up')
    const phase = { 1: 'high', 2: 'high', 3: 'high', 4: 'high', 6: 'high', 9: 'high' } as const
    const deaf = {
      ...six,
      chart: { cycles: [{ high: phase, low: phase }], after: { kind: 'start-again' } },
    } as const
    expect(pressDelay(deaf, PLAIN.quick, options)).toEqual({
      ok: false,
      error: 'Quick sampler sees no press with this profile; check the two against each other first',
    })
  })

  it('says what it takes for granted, and that auto-repeat is left out where there is one', () => {
    const repeating = {
      ...six,
      repeat: { up: { kind: 'reads', pressedReads: 1, releasedReads: 1 } },
    } as const
    const delay = pressDelay(repeating, PLAIN.quick, options)
    const plain = of(PLAIN.quick)
    if (!delay.ok) throw new Error(delay.error)
    expect(delay.value.toSample).toEqual(plain.toSample)
    expect(delay.value.assumptions.length).toBe(plain.assumptions.length + 1)
    expect(delay.value.assumptions.at(-1)).toContain('Auto-repeat')
  })

  it('says which mode it is for, where a title has several', () => {
    const read = {
      starts: { kind: 'frame', offsetsNs: [250_000], late: { minNs: 0, maxNs: 0 } },
      steps: [
        { select: 'low', after: { minNs: 0, maxNs: 0 } },
        { sample: { 6: 'a' }, after: { minNs: 2_000, maxNs: 2_000 } },
        { select: 'high', after: { minNs: 1_000, maxNs: 1_000 } },
      ],
    }
    const modes = (...names: (string | undefined)[]) => ({
      modes: names.map((name) => ({ ...(name === undefined ? {} : { name }), reads: [read] })),
    })
    const saysOf = (title: Title) => of(title).assumptions.filter((says) => says.includes('mode'))
    expect(saysOf(title('Two', [], modes('Menu', 'In play')))).toEqual([
      'The title stays in its last mode, In play.',
    ])
    expect(saysOf(title('Two', [], modes('Menu', undefined)))).toEqual(['The title stays in its last mode.'])
    expect(saysOf(title('One', [], modes('In play')))).toEqual([])
  })
})
