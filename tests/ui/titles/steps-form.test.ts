import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { checkTitle } from '../../../src/shelf/files.ts'
import { INPUTS, PINS } from '../../../src/port/pins.ts'
import { readTitle, writeTitle } from '../../../src/title/file.ts'
import { scheduleOf } from '../../../src/title/schedule.ts'
import type { Title } from '../../../src/title/schema.ts'
import { newTitle } from '../../../src/ui/titles/new-title.ts'
import { READY_PATTERNS, withPattern } from '../../../src/ui/titles/ready-patterns.ts'
import { partsOf, plainSteps, readAt, rowKey, rowsOf, stepAt } from '../../../src/ui/titles/step-places.ts'
import type { RowPlace } from '../../../src/ui/titles/step-places.ts'
import { timedSteps, tooSoonNs } from '../../../src/ui/titles/step-times.ts'
import { TitleForm } from '../../../src/ui/titles/title-form.svelte.ts'
import { StepsForm } from '../../../src/ui/titles/steps-form.svelte.ts'
import { CASES, title as titleBy } from '../../bench/steps-titles.ts'
import { draws, often } from '../../draws.ts'

const NEW = newTitle('Gull Weather')
const TYPED = { kind: 'typed-in' }

/** A form over one title, checked as the shelf checks it. */
function formOf(first: Title) {
  let title = first
  /** Another tab, or an undo. */
  const becomes = (next: Title): void => {
    title = next
  }
  const groups: (string | null)[] = []
  let tries = 0
  const form = new StepsForm(
    () => title,
    (group, change) => {
      tries++
      const checked = checkTitle(change(title))
      if (checked.ok) [title] = [checked.value, groups.push(group)]
      return checked
    },
  )
  return { form, title: () => title, becomes, groups, tries: () => tries }
}

const at = (step: number, group: number | null = null, mode = 0, read = 0): RowPlace => ({
  mode,
  read,
  group,
  step,
})
const lowFirst = withPattern(NEW, 'low-first')
const six = withPattern(NEW, 'six-by-identification')
const steps = (title: Title) => title.modes[0]?.reads[0]?.steps ?? []
/** "low sample high sample" */
const said = (title: Title): string =>
  steps(title)
    .map((step) => ('repeat' in step ? `${step.repeat}x` : 'select' in step ? step.select : 'sample'))
    .join(' ')
const caseBy = (name: string): Title => {
  const found = CASES.find(({ title }) => title.name === name)
  if (!found) throw new Error(name)
  return found.title
}
const modes = caseBy('the menu reads three buttons, the game six')
const repeated = caseBy('a group repeated')

describe('a step that is worked on', () => {
  it('is let go where another tab put others there: what is typed must not go into the next one', () => {
    const { form, becomes } = formOf(lowFirst)
    form.choose(at(1))
    expect(form.chosen).toEqual(at(1))
    // The other tab removes the step before it.
    const other = formOf(lowFirst)
    other.form.remove(at(1))
    expect(said(other.title())).not.toBe(said(lowFirst))
    becomes(other.title())
    expect(form.chosen).toBeNull()
    form.choose(at(1))
    expect(form.chosen).toEqual(at(1))
  })

  it('stays where only figures changed elsewhere, or its own kind from here', () => {
    const { form, title, becomes } = formOf(lowFirst)
    form.choose(at(1))
    becomes({ ...title(), notes: 'Changed in another tab' })
    expect(form.chosen).toEqual(at(1))
    form.choose(at(2))
    expect(form.setWhat(at(2), 'release')).toBe(true)
    expect(said(title())).toContain('release')
    expect(form.chosen).toEqual(at(2))
  })
})

describe('the steps of a title', () => {
  it('adds what most often comes there, removes and moves, and the chosen step goes along', () => {
    const { form, title, groups } = formOf(lowFirst)
    expect(said(title())).toBe('low sample high sample')
    expect(form.add(at(4))).toBe(true)
    expect(form.add(at(5))).toBe(true)
    expect(said(title())).toBe('low sample high sample low sample')
    expect(form.chosen).toEqual(at(5))
    expect(stepAt(title(), at(5))).toMatchObject({ sample: { 6: 'a', 9: 'start' } })
    expect(form.move(at(5), -1)).toBe(true)
    expect([said(title()), form.isChosen(at(4))]).toEqual(['low sample high sample sample low', true])
    expect(form.move(at(5), 1)).toBe(false)
    form.remove(at(5))
    form.remove(at(4))
    expect([said(title()), form.chosen]).toEqual(['low sample high sample', at(3)])
    // Each of them is undone by itself.
    expect(new Set(groups)).toEqual(new Set([null]))
  })

  it('moves a step in time by cycles, and never before what it counts from', () => {
    const { form, title, groups } = formOf(lowFirst)
    form.shift(at(1), 130)
    expect(stepAt(title(), at(1))).toMatchObject({ after: { minNs: 1_530, maxNs: 1_830, source: TYPED } })
    form.shift(at(1), -1_300)
    form.shift(at(1), -1_300)
    expect(stepAt(title(), at(1))).toMatchObject({ after: { minNs: 0, maxNs: 300 } })
    // A pointer says how far it has come since it went down.
    form.shift(at(1), 260, { minNs: 1_000, maxNs: 1_100 })
    expect(stepAt(title(), at(1))).toMatchObject({ after: { minNs: 1_260, maxNs: 1_360 } })
    // All of it is one step to undo.
    expect(new Set(groups).size).toBe(1)
    expect(stepAt(title(), at(3))).toEqual(stepAt(lowFirst, at(3)))
  })

  it('counts from the edge or from the step before, at the same time', () => {
    const { form, title } = formOf(lowFirst)
    const times = () => timedSteps(title(), at(0)).map(({ atNs }) => atNs)
    const before = times()
    form.setAfter(at(1), { minNs: 1_500, maxNs: 1_500 })
    expect(form.setSince(at(2), 'edge')).toBe(true)
    expect(stepAt(title(), at(2))).toMatchObject({ since: 'edge', after: { minNs: 2_900, maxNs: 3_200 } })
    expect(form.setSince(at(2), 'step')).toBe(true)
    expect(stepAt(title(), at(2))).toMatchObject({ since: 'step', after: { minNs: 1_400, maxNs: 1_700 } })
    expect(times()[2]).toBe((before[2] ?? 0) - 50)
  })

  it('cannot count from an edge past what has no exact time after it', () => {
    const two = caseBy('two samples in one phase')
    const { form, title } = formOf(two)
    expect(form.setSince(at(3), 'edge')).toBe(false)
    expect(form.refusalOf(rowKey(at(3)))).toContain('no exact time')
    expect(title()).toBe(two)
  })

  it('turns a step into another, and a line that is let go has a rise', () => {
    const { form, title } = formOf(lowFirst)
    expect(form.setWhat(at(2), 'release')).toBe(true)
    expect(title().rise).toMatchObject({ minNs: 15_000, source: { kind: 'preset' } })
    expect(form.setWaits(at(2), true)).toBe(true)
    expect(form.setWhat(at(2), 'high')).toBe(true)
    expect(stepAt(title(), at(2))).toEqual(stepAt(lowFirst, at(2)))
    form.setWhat(at(2), 'sample')
    expect(stepAt(title(), at(2))).toMatchObject({ sample: { 6: 'a' }, after: { minNs: 1_400 } })
    form.setRise({ minNs: 1_000, maxNs: 2_000 })
    expect(title().rise).toEqual({ minNs: 1_000, maxNs: 2_000, source: TYPED })
    form.setIdle('low')
    expect(title()).toMatchObject({ idle: 'low', sources: { idle: TYPED } })
  })

  it('says what each pin is taken for, and if which sample agrees', () => {
    const { form, title } = formOf(lowFirst)
    form.setPin(at(3), 6, 'x')
    form.setPin(at(3), 9, undefined)
    form.setMixed(at(3), 'c')
    expect(form.setName(at(1), 'first')).toBeNull()
    expect(form.setAgrees(at(3), 1, 'first')).toBe(true)
    form.setPin(at(3), 1, 'z')
    expect(stepAt(title(), at(3))).toMatchObject({
      sample: { 1: { input: 'z', ifAgrees: 'first' }, 2: 'down', 3: 'left', 4: 'right', 6: 'x', select: 'c' },
      source: TYPED,
    })
    // What refers to a sample goes along with its name; a name that is referred to stays.
    expect(form.setName(at(1), 'first-look')).toBeNull()
    expect(stepAt(title(), at(3))).toMatchObject({ sample: { 1: { ifAgrees: 'first-look' } } })
    const kept = title()
    expect(form.setName(at(1), '')).toMatch(/no sample is called first-look/)
    expect(form.refusalOf(rowKey(at(3)))).toMatch(/first-look/)
    expect(form.setName(at(1), 'No Name')).toMatch(/small letters/)
    expect(title()).toEqual(kept)
    form.setAgrees(at(3), 1, undefined)
    form.setMixed(at(3), undefined)
    expect(form.setName(at(1), '')).toBeNull()
    expect(stepAt(title(), at(1))).not.toHaveProperty('name')
  })

  it('puts a step into a repeat and writes it out', () => {
    const { form, title } = formOf(lowFirst)
    expect(form.repeat(at(1))).toBe(true)
    expect(form.setRepeat(at(1), 3)).toBeNull()
    expect(said(title())).toBe('low 3x high sample')
    expect(form.add(at(1, 1))).toBe(true)
    expect(form.chosen).toEqual(at(1, 1))
    expect(
      timedSteps(title(), at(0))
        .map(({ place }) => rowKey(place))
        .slice(1, 4),
    ).toEqual([
      'modes[0].reads[0].steps[1].steps[0]',
      'modes[0].reads[0].steps[1].steps[1]',
      'modes[0].reads[0].steps[1].steps[0]',
    ])
    form.remove(at(1, 1))
    expect(form.spread(at(1))).toBe(true)
    expect(said(title())).toBe('low sample sample sample high sample')
  })

  it('tells six buttons by conditions', () => {
    const { form, title } = formOf(lowFirst)
    expect(form.setSix('told')).toBe(true)
    expect(title().sixButtons).toEqual({
      kind: 'told',
      by: [{ sample: 'identification', low: [1, 2, 3, 4], high: [] }],
      holds: 'read',
      source: TYPED,
    })
    form.addCondition()
    form.setConditionPin(1, 2, 'high', true)
    form.setHolds('onwards')
    expect(title().sixButtons).toMatchObject({
      by: [{ low: [1, 2, 3, 4] }, { low: [1, 3, 4], high: [2] }],
      holds: 'onwards',
    })
    form.removeCondition(0)
    for (const pin of [1, 3, 4] as const) form.setConditionPin(0, pin, 'low', false)
    expect(form.setConditionPin(0, 2, 'high', false)).toBe(false)
    expect(form.refusalOf('sixButtons.by[0]')).toMatch(/one pin/)
    expect(form.setConditionSample(0, 'nobody')).toBe(false)
    expect(form.refusalOf('sixButtons.by[0]')).toMatch(/no sample is called nobody/)
    expect(form.setSix('never')).toBe(true)
    expect(form.refusal).toBeNull()
  })

  it('has modes and reads, each with its start', () => {
    const { form, title } = formOf(lowFirst)
    form.addMode('in play')
    form.nameMode(0, 'menu')
    expect(form.setOnce(0, true)).toBe(true)
    expect(title().modes.map(({ name, once }) => [name, once])).toEqual([
      ['menu', true],
      ['in play', false],
    ])
    expect(form.nameMode(1, 'menu')).toBe('Another mode is called menu already. Choose another name.')
    expect(title().modes[1]?.name).toBe('in play')
    expect(form.nameMode(0, 'menu')).toBeNull()
    expect(form.nameMode(0, '\u200b')).toBe('a name is needed.')
    expect(title().modes[0]?.name).toBe('menu')
    expect(form.setOnce(1, true)).toBe(false)
    expect(form.refusalOf('modes[1]')).toMatch(/first mode/)
    form.addRead(1)
    expect(
      form.setFrameStarts(at(0, null, 1, 1), { offsetsNs: [4_000_000, 6_000_000], everyFrames: 2 }),
    ).toBeNull()
    expect(form.setLate(at(0, null, 1, 1), { minNs: 0, maxNs: 9_000 })).toBeNull()
    expect(readAt(title(), at(0, null, 1, 1))?.starts).toEqual({
      kind: 'frame',
      offsetsNs: [4_000_000, 6_000_000],
      everyFrames: 2,
      inFrame: 0,
      late: { minNs: 0, maxNs: 9_000, source: TYPED },
      source: TYPED,
    })
    expect(form.setFrameStarts(at(0, null, 1, 1), { inFrame: 2 })).toMatch(/frame 2 does not exist/)
    expect(form.setTied(1, 'interval')).toBe(true)
    expect(form.setInterval(at(0, null, 1, 1), { minNs: 2_000_000, maxNs: 3_000_000 })).toBeNull()
    form.setStretched(at(0, null, 1, 0), true)
    expect(form.setStretch(at(0, null, 1, 0), { byNs: 9_000, times: 2 })).toBeNull()
    expect(readAt(title(), at(0, null, 1, 0))?.stretch).toEqual({ byNs: 9_000, times: 2, source: TYPED })
    form.removeRead(at(0, null, 1, 1))
    expect(form.removeRead(at(0, null, 1, 0))).toBe(false)
    expect(form.refusalOf('modes[1].reads[0]')).toMatch(/one read/)
    form.setTied(1, 'frame')
    form.setOnce(0, false)
    form.removeMode(0)
    expect(form.removeMode(0)).toBe(false)
    expect(form.refusal?.sentence).toMatch(/one mode/)
    expect(title().modes).toHaveLength(1)
  })

  it('says a refusal beside the step that it names, wherever that stood before', () => {
    const { form, title } = formOf(six)
    // Without the sample that tells them, six buttons are told by nothing.
    expect(form.remove(at(7))).toBe(false)
    expect(form.refusalOf('sixButtons.by[0]')).toMatch(/no sample is called identification/)
    expect(title()).toEqual(six)
    // A refusal of before says nothing of a title that has changed since.
    form.shift(at(1), 130)
    expect(form.refusal).toBeNull()

    const close = titleBy('close', [
      {
        starts: { kind: 'frame', offsetsNs: [0], late: { minNs: 0, maxNs: 0 } },
        steps: [
          { select: 'low', after: { minNs: 0, maxNs: 0 } },
          { sample: { 1: 'up' }, after: { minNs: 600, maxNs: 700 }, since: 'edge' },
          { select: 'high', after: { minNs: 3_000, maxNs: 3_000 }, since: 'edge' },
        ],
      },
    ])
    const other = formOf(close)
    // The sample that comes too soon after the new one would be the third step; it is the second as long as that is not there.
    expect(other.form.add(at(1))).toBe(false)
    expect(other.form.refusalOf(rowKey(at(1)))).toMatch(/before the one before it/)
    expect(other.title()).toBe(close)
    // Typed at one step, named at another: it stands beside both.
    expect(other.form.setAfter(at(1), { minNs: 600, maxNs: 4_000 })).toMatch(/4000 ns/)
    expect(other.form.refusalOf(rowKey(at(2)))).toMatch(/4000 ns/)
  })
})

describe('the form of a title that has more in it than the short way can say', () => {
  it('still asks what every title has', () => {
    let title = lowFirst
    const form = new TitleForm(
      () => title,
      (_, change) => {
        const checked = checkTitle(change(title))
        if (checked.ok) title = checked.value
        return checked
      },
    )
    expect(form.isShort).toBe(false)
    form.name.value = 'Tern'
    form.notes.value = 'Low first.'
    form.clock.value = 250
    form.chooseOf('fragile', { fragile: true })
    form.chooseOf('standard', { standard: '625-line' })
    form.chooseOf('takesOpposite', { takesOpposite: false })
    expect(title).toEqual({
      ...lowFirst,
      name: 'Tern',
      notes: 'Low first.',
      clockPpm: 250,
      fragile: true,
      standard: '625-line',
      takesOpposite: false,
      sources: { ...lowFirst.sources, clockPpm: TYPED, standard: TYPED, takesOpposite: TYPED },
    })
    form.clock.value = 10_001
    expect(form.errorOf('clockPpm', form.clock)).toMatch(/from 0 to 10000/)
    expect(title.clockPpm).toBe(250)
    title = NEW
    expect([form.isShort, form.cycles.value]).toEqual([true, 1])
  })
})

/** Any command of the form, on any of its parts. */
const arbCommand = fc
  .record({
    which: fc.nat(27),
    mode: fc.nat(2),
    read: fc.nat(2),
    row: fc.nat(30),
    level: fc.constantFrom('low' as const, 'high' as const),
    pin: fc.constantFrom(...PINS),
    input: fc.option(fc.constantFrom(...INPUTS), { nil: undefined }),
    ns: fc.oneof(fc.nat(3_000), fc.nat(200_000_000)),
    more: fc.oneof(fc.nat(3_000), fc.nat(30_000_000)),
    n: fc.oneof(fc.nat(3), fc.nat(600)),
    name: fc.constantFrom('', 'identification', 'again', 'No Name'),
    on: fc.boolean(),
  })
  .map((one) => ({
    one,
    run: (form: StepsForm): boolean | string | null => {
      const { row, level, pin, input, ns, more, n, name, on } = one
      const mode = one.mode % form.title.modes.length
      const read = one.read % (form.title.modes[mode]?.reads.length ?? 1)
      const range = { minNs: ns, maxNs: ns + more }
      const of = { mode, read }
      const rows = rowsOf(readAt(form.title, of) ?? { starts: undefined as never, steps: [] }, of)
      const place = rows[row % Math.max(1, rows.length)]?.place ?? { ...of, group: null, step: 0 }
      const commands: (() => boolean | string | null)[] = [
        () => form.add(place),
        () => form.add({ ...place, step: place.step + 1 }),
        () => form.remove(place),
        () => form.move(place, on ? 1 : -1),
        () => form.setWhat(place, on ? level : input === undefined ? 'release' : 'sample'),
        () => form.setAfter(place, range),
        () => form.shift(place, ns - more),
        () => form.setSince(place, on ? 'edge' : 'step'),
        () => form.setWhen(place, on ? 'six-buttons' : n > 1 ? 'three-buttons' : 'always'),
        () => form.setWaits(place, on),
        () => form.setRepeat(place, n),
        () => form.repeat(place),
        () => form.spread(place),
        () => form.setPin(place, pin, input),
        () => form.setAgrees(place, pin, on ? name : undefined),
        () => form.setMixed(place, input),
        () => form.setName(place, name),
        () => form.setSix(on ? 'told' : input === undefined ? 'assumed' : 'never'),
        () => form.setConditionPin(n % 2, pin, level, on),
        () => form.addCondition(),
        () => form.setIdle(level),
        () => form.setRise(range),
        () => (on ? form.addMode('Other') : form.removeMode(mode)),
        () => (on ? form.addRead(mode) : form.removeRead(of)),
        () => form.setTied(mode, on ? 'frame' : 'interval'),
        () => form.setFrameStarts(of, on ? { offsetsNs: [ns] } : { everyFrames: n, inFrame: n % 5 }),
        () => (on ? form.setLate(of, range) : form.setInterval(of, range)),
        () => (on ? form.setStretched(of, n > 1) : form.setStretch(of, { byNs: ns, times: n })),
      ]
      return commands[one.which]?.() ?? null
    },
  }))

describe('any edit', () => {
  it('gives a title that is valid, or a refusal at a part of the title, which stays', () => {
    const starts = [
      NEW,
      ...READY_PATTERNS.map((one) => withPattern(NEW, one)),
      ...CASES.map(({ title }) => title),
    ]
    const outcomes = { done: 0, refused: 0 }
    fc.assert(
      fc.property(
        fc.constantFrom(...starts),
        fc.array(arbCommand, { minLength: 1, maxLength: 12 }),
        (start, commands) => {
          const { form, title, tries } = formOf(start)
          for (const { run } of commands) {
            const before = title()
            const triesBefore = tries()
            const refusalBefore = form.refusal
            const outcome = run(form)
            if (outcome === true || outcome === null) {
              outcomes.done++
              expect(readTitle(new TextEncoder().encode(writeTitle(title())))).toEqual({
                ok: true,
                value: title(),
              })
              // All that is asked of it while it is shown.
              title().modes.forEach(({ reads }, mode) =>
                reads.forEach((_, read) => timedSteps(title(), { mode, read })),
              )
              continue
            }
            outcomes.refused++
            expect(title()).toBe(before)
            const { refusal } = form
            // What was typed has its sentence at the field, a choice has it at a part that is there.
            if (typeof outcome === 'string') expect(outcome).toMatch(/.+\.$/)
            else if (tries() > triesBefore) expect(refusal?.sentence).toMatch(/.+\.$/)
            // What cannot be at all, as moving the first step up, is not even tried.
            else expect(refusal).toBe(refusalBefore)
            if (refusal) expect(['', ...[...partsOf(title())].map(([key]) => key)]).toContain(refusal.owner)
          }
        },
      ),
      { numRuns: draws(300) },
    )
    expect(Math.min(outcomes.done, outcomes.refused)).toBeGreaterThan(often(100))
  })
})

describe('the steps of a read in time', () => {
  it.each(CASES.map(({ title }) => [title.name, title] as const))(
    'come when the schedule has them: %s',
    (_, title) => {
      const schedule = scheduleOf(title)
      const middle = ({ minNs, maxNs }: { minNs: number; maxNs: number }) => (minNs + maxNs) / 2
      title.modes.forEach(({ reads }, mode) =>
        reads.forEach((_, read) => {
          const timed = timedSteps(title, { mode, read })
          // The nodes of this read, found by what it writes; each at the sum of the gaps on the way to it.
          const writes = timed.filter(({ step }) => 'select' in step)
          const own = schedule.nodes.map((node, k) => ({ node, k })).filter(({ node }) => node.mode === mode)
          const first = [...new Set(own.map(({ node }) => node.read))].map((number) =>
            own.filter(({ node }) => node.read === number),
          )
          const times = first.map((nodes) => {
            const atNs = new Map<number, number>([[nodes[0]?.k ?? 0, 0]])
            for (const { node, k } of nodes)
              for (const way of node.next)
                if (
                  way.kind === 'gap' &&
                  way.frames === 0 &&
                  nodes.some((one) => one.k === way.to) &&
                  !atNs.has(way.to)
                )
                  atNs.set(way.to, (atNs.get(k) ?? 0) + middle(way.lasts))
            return nodes
              .filter(({ node }) => node.writes !== null)
              .map(({ k }) => Math.round(atNs.get(k) ?? NaN))
          })
          // A wait is over, for the schedule, when the line is up.
          const expected = writes.map(
            ({ atNs, step, riseNs }) => atNs + ('select' in step && step.waits ? riseNs : 0),
          )
          const near = (one: readonly number[]) =>
            one.length === expected.length &&
            one.every((ns, k) => Math.abs(ns - (expected[k] ?? NaN)) <= 2 + k)
          if (plainSteps(title).every(({ when }) => when === 'always'))
            expect(times.some(near), JSON.stringify([times, expected])).toBe(true)
        }),
      )
    },
  )

  it('asks about a sample that no program takes so soon after an edge that it drives', () => {
    const soon = (after: object, edge = 'low') =>
      titleBy(
        'soon',
        [
          {
            starts: { kind: 'frame', offsetsNs: [0], late: { minNs: 0, maxNs: 0 } },
            steps: [
              { select: edge, after: { minNs: 0, maxNs: 0 } },
              { sample: { 1: 'up' }, after },
            ],
          },
        ],
        { rise: { minNs: 0, maxNs: 0 } },
      )
    // Four cycles of the 7.67 MHz processor (from memory): 4 / 7.670455 MHz = 521.5 ns, cut off.
    expect(Math.floor((4 / 7.670455) * 1_000)).toBe(521)
    expect(tooSoonNs(soon({ minNs: 520, maxNs: 700 }))).toBe(520)
    expect(tooSoonNs(soon({ minNs: 521, maxNs: 700 }))).toBeNull()
    expect(tooSoonNs(soon({ minNs: 100, maxNs: 700 }, 'release'))).toBeNull()
    for (const { title } of CASES) expect([title.name, tooSoonNs(title)]).toEqual([title.name, null])
    expect(tooSoonNs(repeated)).toBeNull()
    expect(tooSoonNs(modes)).toBeNull()
  })
})
