import { INPUTS, inputBit, inputsIn, isInput } from '../../port/pins.ts'
import type { InputMask } from '../../port/pins.ts'
import type { Result } from '../../port/result.ts'
import { rowWords } from '../../words/lists.ts'
import { t } from './probe-texts.ts'
import type { Page, Probing } from './probing.ts'
import type { Answer, Question } from './suspects.ts'

/**
 * Questions as a text that a player fills in, line by line: `hold x + y = left, b`. What stands before `=` names the question, so that lines may be left out or
 * come in another order; `#` begins a remark. Inputs are named by their ids, whatever language is spoken.
 */

const FORMAT = 'ninepin-probe'
const VERSION = 1
export const FIRST_LINE = [FORMAT, VERSION].join(' ')
const NOTHING = 'nothing'
export const NOT_SURE = '?'

export const remark = (text: string): string => `# ${text}`
const MOST_LINES = 2_000

/** What a file of answers says wrong, with the line, from 1. */
export interface AnswerFault {
  readonly line: number
  readonly message: string
}

const idsOf = (held: InputMask, between: string): string =>
  held === 0 ? NOTHING : inputsIn(held).join(between)

/** "hold x + y", "in mode 2 hold x". */
const askWords = ({ mode, held }: Question, hasModes: boolean): string =>
  [...(hasModes ? ['in', 'mode', mode + 1] : []), 'hold', idsOf(held, ' + ')].join(' ')

export interface AboutPage {
  readonly title: string
  /** Names of the modes, where there are several. */
  readonly modes: readonly string[]
  /** The image that goes into the adapter. */
  readonly image: string
}

export function pageText({ probe, questions }: Page, { title, modes, image }: AboutPage): string {
  const remarks = [
    t.pageOf({ title }),
    t.flashPage({ image }),
    t.playTo,
    t.writeActs({ inputs: rowWords([...INPUTS]) }),
    ...modes.map((name, k) => t.modeIs({ n: k + 1, name })),
  ].map(remark)
  const asked = questions.map((question) => `${askWords(question, modes.length > 0)} =`)
  return `${[FIRST_LINE, `probe ${probe.id}`, '', ...remarks, '', ...asked].join('\n')}\n`
}

/** Reads what was filled in. What was not answered, or not for sure, is left out. */
export function readAnswers(text: string, probing: Probing, modes: number): Result<Answer[], AnswerFault> {
  const lines = text.replace(/^\uFEFF/, '').split(/\r?\n/)
  const fault = (line: number, message: string): Result<Answer[], AnswerFault> => ({
    ok: false,
    error: { line: line + 1, message },
  })
  if (lines[0]?.trim() !== FIRST_LINE) return fault(0, t.notAnswers({ first: FIRST_LINE }))
  if (lines.length > MOST_LINES) return fault(MOST_LINES, t.tooManyLines({ most: MOST_LINES }))
  const id = /^probe (.+)$/.exec(lines[1]?.trim() ?? '')?.[1]
  const probe = id === undefined ? undefined : probing.probe(id)
  if (probe === undefined) return fault(1, t.otherProbe)
  const answers: Answer[] = []
  for (let k = 2; k < lines.length; k++) {
    const line = (lines[k] ?? '').replace(/#.*/, '').trim().toLowerCase()
    if (line === '') continue
    const found = /^(?:in mode (\d+) )?hold ([^=]+)=(.*)$/.exec(line)
    if (found === null) return fault(k, t.notALine)
    const [, mode = String(modes), holds = '', seen = ''] = found
    const held = maskIn(holds)
    const acts = maskIn(seen)
    if (held === null || acts === null) return fault(k, t.notInputs({ inputs: rowWords([...INPUTS]) }))
    if (Number(mode) < 1 || Number(mode) > modes) return fault(k, t.noSuchMode({ n: Number(mode) }))
    if (acts !== 'unknown' && held !== 'unknown')
      answers.push({ question: { probe, mode: Number(mode) - 1, held }, acts })
  }
  return { ok: true, value: answers }
}

/** Inputs in a list; `unknown` where nothing is said for sure, `null` where something is not an input. */
function maskIn(words: string): InputMask | 'unknown' | null {
  const list = words.split(/[\s,+]+/).filter((word) => word !== '')
  if (list.length === 0 || list.includes(NOT_SURE)) return 'unknown'
  if (list.length === 1 && list[0] === NOTHING) return 0
  let mask = 0
  for (const word of list) {
    if (!isInput(word)) return null
    mask |= inputBit(word)
  }
  return mask
}
