import { CONTROLS, controlBit, controlMask } from '../pad/controls.ts'
import type { Control } from '../pad/controls.ts'
import { inputsOf } from '../port/chart.ts'
import { INPUTS, inputsIn } from '../port/pins.ts'
import type { Input } from '../port/pins.ts'
import { listWords } from '../words/lists.ts'
import { t } from './conflict-texts.ts'
import { longestWaitMs } from './chords.ts'
import { chordHeld, inputsThrough } from './held-controls.ts'
import { Reachability } from './reach.ts'
import type { Profile } from './schema.ts'

/** What is wrong or unreachable in a profile, told while it is edited. */

/** Where in the profile; lists are counted from 0. */
export type ConflictPlace =
  | { readonly at: 'input'; readonly input: Input }
  | { readonly at: 'control'; readonly control: Control }
  | { readonly at: 'layer' | 'chord' | 'powerOn' | 'bankChange'; readonly index: number }
  | { readonly at: 'stick'; readonly side: 'left' | 'right' }

export interface Conflict {
  /** A fault keeps something from working; a note says what follows and may well be meant. */
  readonly kind: 'fault' | 'note'
  readonly place: ConflictPlace
  readonly sentence: string
}

/** How inputs and controls are called where the sentences are shown; a sentence may begin with one. */
export interface ConflictWords {
  readonly input: (input: Input) => string
  readonly control: (control: Control) => string
}

/** All conflicts of a profile, faults first, each kind in the order in which the profile is read. */
export function conflictsIn(profile: Profile, words: ConflictWords): readonly Conflict[] {
  const reach = new Reachability(profile)
  const all = [
    ...inputConflicts(profile, reach, words),
    ...controlConflicts(profile, words),
    ...layerConflicts(profile, reach, words),
    ...chordConflicts(profile, reach, words),
    ...stickConflicts(profile),
  ]
  return [...all.filter(({ kind }) => kind === 'fault'), ...all.filter(({ kind }) => kind === 'note')]
}

function* inputConflicts(profile: Profile, reach: Reachability, words: ConflictWords): Generator<Conflict> {
  const shown = new Set(inputsOf(profile.chart))
  for (const input of INPUTS) {
    const place = { at: 'input', input } as const
    const name = { input: words.input(input) }
    const named =
      profile.mapping[input].length > 0 ||
      profile.layers.some(({ mapping }) => (mapping[input] ?? []).length > 0) ||
      profile.chords.some(({ inputs }) => inputs.includes(input))
    if (!named && shown.has(input)) yield { kind: 'note', place, sentence: t.noControl(name) }
    if (named && !shown.has(input)) yield { kind: 'note', place, sentence: t.notShown(name) }
    if (named && reach.of(input) === 'never') yield { kind: 'fault', place, sentence: t.neverPressed(name) }
    if (profile.repeat[input] !== undefined && isDirection(input))
      yield { kind: 'note', place, sentence: t.repeats(name) }
  }
}

const isDirection = (input: Input): boolean => PAIRS.some((pair) => pair.includes(input))
const PAIRS: readonly (readonly Input[])[] = [
  ['up', 'down'],
  ['left', 'right'],
]

/** The mapping and each layer's, one after the other, with the number of the layer. */
const mappings = ({ mapping, layers }: Profile) => [
  { mapping, layer: null },
  ...layers.map((layer, k) => ({ mapping: layer.mapping, layer: k + 1 })),
]

function* controlConflicts(profile: Profile, words: ConflictWords): Generator<Conflict> {
  for (const { mapping, layer } of mappings(profile)) {
    for (const control of CONTROLS) {
      const pressed = INPUTS.filter((input) => mapping[input]?.includes(control))
      if (pressed.length < 2) continue
      const place = { at: 'control', control } as const
      const both = PAIRS.find((pair) => pair.every((input) => pressed.includes(input)))
      const said = {
        control: words.control(control),
        inputs: listWords((both ?? pressed).map(words.input)),
      }
      if (both)
        yield {
          kind: 'fault',
          place,
          sentence: layer === null ? t.opposite(said) : t.oppositeInLayer({ ...said, layer }),
        }
      else
        yield {
          kind: 'note',
          place,
          sentence: layer === null ? t.together(said) : t.togetherInLayer({ ...said, layer }),
        }
    }
  }
}

function* layerConflicts(profile: Profile, reach: Reachability, words: ConflictWords): Generator<Conflict> {
  for (const [index, layer] of profile.layers.entries()) {
    const place = { at: 'layer', index } as const
    const number = index + 1
    if (Object.keys(layer.mapping).length === 0)
      yield { kind: 'note', place, sentence: t.emptyLayer({ layer: number }) }
    for (const control of layer.by) {
      const bit = controlBit(control)
      const pressed = inputsIn(inputsThrough(profile.mapping, [layer], bit))
      if (pressed.length > 0)
        yield {
          kind: 'note',
          place,
          sentence: t.pressesToo({
            control: words.control(control),
            layer: number,
            inputs: listWords(pressed.map(words.input)),
          }),
        }
    }
    const over = profile.layers.findIndex(
      (later, k) =>
        k > index &&
        layer.kind === 'held' &&
        later.kind === 'held' &&
        layer.by.every((control) => later.by.includes(control)) &&
        INPUTS.every((input) => layer.mapping[input] === undefined || later.mapping[input] !== undefined),
    )
    if (over >= 0 && Object.keys(layer.mapping).length > 0)
      yield {
        kind: 'fault',
        place,
        sentence: t.overridden({ layer: number, over: over + 1 }),
      }
    if (layer.mapping.start !== undefined && hidesStart(reach, index))
      yield {
        kind: layer.kind === 'toggled' ? 'fault' : 'note',
        place,
        sentence: t.withoutStart({ layer: number, start: words.input('start') }),
      }
  }
}

const hidesStart = (reach: Reachability, layer: number): boolean =>
  reach.of('start') !== 'never' && !reach.whileOn('start', layer)

function* chordConflicts(profile: Profile, reach: Reachability, words: ConflictWords): Generator<Conflict> {
  const { chords } = profile
  for (const [index, chord] of chords.entries()) {
    const place = { at: 'chord', index } as const
    const number = index + 1
    const inside = chordWithin(chords, index)
    const pair = { chord: number, other: (inside ?? 0) + 1 }
    const equal = inside !== null && chords[inside]?.held.length === chord.held.length
    const earlier = inside !== null && inside < index
    if (inside !== null && reach.ofChord(index) === 'impossible')
      yield {
        kind: 'fault',
        place,
        sentence: equal ? t.sameChord(pair) : t.takenChord(pair),
      }
    else if (inside !== null && (earlier || !equal))
      yield {
        kind: 'note',
        place,
        sentence: earlier ? t.lateChord(pair) : t.widerChord(pair),
      }
    const opposite = PAIRS.find((pair) => pair.every((input) => chord.inputs.includes(input)))
    if (opposite)
      yield {
        kind: 'fault',
        place,
        sentence: t.oppositeInChord({ chord: number, inputs: listWords(opposite.map(words.input)) }),
      }
    yield* rulesWithin(profile, index)
  }
  yield* delays(profile, words)
}

/** The chord that lies within this one and is most in its way. */
function chordWithin(chords: Profile['chords'], index: number): number | null {
  const chord = chords[index]
  const within = [...chords.keys()].filter(
    (k) => k !== index && chords[k]?.held.every((control) => chord?.held.includes(control)),
  )
  const taking = within.find((k) => k < index && (chords[k]?.withinMs ?? 0) >= (chord?.withinMs ?? 0))
  return taking ?? within[0] ?? null
}

/** Rules that match while a chord is held. */
function* rulesWithin({ chords, bankChange, powerOn }: Profile, index: number): Generator<Conflict> {
  const held = controlMask(chords[index]?.held ?? [])
  const lies = (rule: { readonly held: readonly Control[] }) => chordHeld(controlMask(rule.held), held)
  const place = { at: 'chord', index } as const
  for (const [k, change] of bankChange.entries())
    if (lies(change))
      yield {
        kind: 'note',
        place,
        sentence: t.alsoBankChange({ chord: index + 1, ms: change.forMs, rule: k + 1 }),
      }
  for (const [k, rule] of powerOn.entries())
    if (lies(rule))
      yield {
        kind: 'note',
        place,
        sentence: t.alsoPowerOn({ chord: index + 1, rule: k + 1 }),
      }
}

/** What waiting for a chord costs the controls that do something of their own. */
function* delays(profile: Profile, words: ConflictWords): Generator<Conflict> {
  const used = usedControls({ ...profile, chords: [], powerOn: [], bankChange: [] })
  for (const control of CONTROLS) {
    const longestMs = longestWaitMs(profile.chords, control)
    if (longestMs > 0 && used.has(control))
      yield {
        kind: 'note',
        place: { at: 'control', control },
        sentence: t.delayed({ control: words.control(control), ms: longestMs }),
      }
  }
}

/** Controls that do anything. */
const usedControls = (profile: Profile): ReadonlySet<Control> =>
  new Set([
    ...mappings(profile).flatMap(({ mapping }) => INPUTS.flatMap((input) => mapping[input] ?? [])),
    ...profile.layers.flatMap(({ by }) => by),
    ...[...profile.chords, ...profile.powerOn, ...profile.bankChange].flatMap(({ held }) => held),
  ])

function* stickConflicts(profile: Profile): Generator<Conflict> {
  const used = usedControls(profile)
  for (const side of ['left', 'right'] as const) {
    const idle = WAYS.filter((way) => !used.has(`stick-${side}-${way}`))
    if (idle.length > 0)
      yield {
        kind: 'note',
        place: { at: 'stick', side },
        sentence:
          idle.length === WAYS.length
            ? t.idleStick({ stick: side })
            : t.idleWays({ stick: side, n: idle.length, ways: listWords(idle.map((way) => t[way])) }),
      }
  }
}

const WAYS = ['up', 'down', 'left', 'right'] as const
