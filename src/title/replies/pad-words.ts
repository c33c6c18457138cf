import { inputList, inputWord } from '../../port/input-texts.ts'
import { THREE_BUTTON_CYCLE } from '../../port/family.ts'
import { isInput } from '../../port/pins.ts'
import type { Pin } from '../../port/pins.ts'
import { exactTimeWord } from '../../words/figures.ts'
import { listWords, rowWords } from '../../words/lists.ts'
import { clauseWords } from '../../words/sentence-texts.ts'
import type { Noted } from '../select-line.ts'
import type { HeldInput } from './held.ts'
import type { IdleReset } from './idle-reset.ts'
import type { PadFinding, PadTable } from './pad-findings.ts'
import { t } from './pad-texts.ts'

/** What was found of the pad in a capture, without its label. */
export function padWords(finding: PadFinding): string {
  switch (finding.what) {
    case 'pad-lines': {
      const { pins, missing, still } = finding.value
      let lines = t.pins(pinWords(pins))
      if (missing.length > 0) lines = t.missing({ lines, ...pinWords(missing) })
      return still.length > 0 && still.length < pins.length ? t.still({ lines, ...pinWords(still) }) : lines
    }
    case 'pad-table':
      return tableWords(finding.value)
    case 'pad-reply': {
      const { minNs, maxNs, stepNs } = finding.value
      const range = t.range({ min: exactTimeWord(minNs), max: exactTimeWord(maxNs) })
      return t.reply({ range, step: exactTimeWord(stepNs) })
    }
    case 'pad-idle-reset':
      return resetWords(finding.value)
    case 'pad-idle-reset-hidden':
      return t.hidden({ step: exactTimeWord(finding.value.stepNs) })
    case 'pad-held':
      return heldWords(finding.value)
    case 'pad-changes': {
      const { presses, resets, either } = finding.value
      return clauseWords([
        ...(presses.count > 0 ? [t.presses(noted(presses))] : []),
        ...(resets.count > 0 ? [t.resets(noted(resets))] : []),
        ...(either.count > 0 ? [t.eitherChange(noted(either))] : []),
      ])
    }
    case 'pad-odd':
      return t.odd(noted(finding.value))
  }
}

const noted = ({ count: n, firstNs }: Noted) => ({ n, first: exactTimeWord(firstNs) })
const pinWords = (pins: readonly Pin[]) => ({ n: pins.length, pins: listWords(pins.map(String)) })

function tableWords(value: PadTable): string {
  switch (value.table) {
    case 'six-buttons':
      return t.six({ after: value.after ?? 'open' })
    case 'three-buttons':
      return t.three
    case 'either':
      return t.either
    case 'unclear':
      return t.unclear
    case 'none':
      return t.none
    case 'still':
      return t.noReply
  }
}

function resetWords({ minNs, maxNs, longest, shortest, contradicts, ...seen }: IdleReset): string {
  if (contradicts && longest !== null && shortest !== null)
    return t.resetVaries({
      min: exactTimeWord(longest.ns),
      longestAt: exactTimeWord(longest.atNs),
      max: exactTimeWord(shortest.ns),
      shortestAt: exactTimeWord(shortest.atNs),
    })
  const grounds = listWords([
    ...(seen.without > 0 ? [t.without({ n: seen.without })] : []),
    ...(seen.with > 0 ? [t.with({ n: seen.with })] : []),
    ...(seen.shown > 0 ? [t.shown({ n: seen.shown })] : []),
  ])
  if (minNs === null) return t.resetUnder({ max: exactTimeWord(maxNs ?? 0), grounds })
  if (maxNs === null) return t.resetOver({ min: exactTimeWord(minNs), grounds })
  return t.resetBetween({ min: exactTimeWord(minNs), max: exactTimeWord(maxNs), grounds })
}

function heldWords(all: readonly HeldInput[]): string {
  const pressed = all.filter(({ held }) => held > 0)
  if (pressed.length === 0) return t.nothingHeld({ inputs: inputList(all.map(({ input }) => input)) })
  const held = rowWords(pressed.map(({ input, held, of }) => t.held({ input: inputWord(input), held, of })))
  // Pins 6 and 9 carry inputs alone, so on these nothing else tells an inverted line.
  return SHARED_PINS.reduce((said, inputs) => {
    const low = inputs.every((input) => all.some((one) => one.input === input && one.held === one.of))
    return low ? t.alwaysLow({ held: said, inputs: inputList(inputs) }) : said
  }, held)
}

const SHARED_PINS = ([6, 9] as const).map((pin) =>
  [THREE_BUTTON_CYCLE.low[pin], THREE_BUTTON_CYCLE.high[pin]].filter((cell) => isInput(cell)),
)
