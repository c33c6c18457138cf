import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import { PINS } from '../../port/pins.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import type { CabledAdapter } from '../judgement.ts'
import { FIRST_LINE, NOT_SURE, remark } from './answers-file.ts'
import type { AnswerFault } from './answers-file.ts'
import { isCounted, lateQuestionAt, timedBy } from './late-replies.ts'
import type { Counted, LateQuestion } from './late-replies.ts'
import { t } from './probe-texts.ts'

/**
 * A question about late replies as a text that a player fills in: how often something acts throughout a press, and how often at all, each counted twice. The second line
 * names the sample and the steps, so that counts are never taken for others.
 */

const THROUGHOUT = 'throughout'
const AT_ALL = 'at-all'
const TIMES_ASKED = 2

/** "late mode 1 read 1 step 2 pin 6 first 16 by 104 steps 24", as a line and for comparing. */
const nameOf = ({ at, pin, sweep }: LateQuestion): string =>
  [
    ...['late', 'mode', at.mode + 1, 'read', at.read + 1, 'step', at.step + 1, 'pin', pin],
    ...['first', sweep.firstNs, 'by', sweep.stepNs, 'steps', sweep.steps],
  ].join(' ')

/** @param mode the name of the mode to play; `null` where the title has one only */
export function lateText(question: LateQuestion, title: string, mode: string | null, image: string): string {
  const { at, input, sweep, isCutOff } = question
  const remarks = [
    t.pageOf({ title }),
    t.flashPage({ image }),
    ...(mode === null ? [] : [t.modeIs({ n: at.mode + 1, name: mode })]),
    t.holdToCount({ input, steps: sweep.steps }),
    t.countTwice({ throughout: THROUGHOUT, atAll: AT_ALL }),
    ...(isCutOff ? [t.cutOff] : []),
  ].map(remark)
  const asked = Array.from({ length: TIMES_ASKED }, () => [`${THROUGHOUT} =`, `${AT_ALL} =`]).flat()
  return `${[FIRST_LINE, nameOf(question), '', ...remarks, '', ...asked].join('\n')}\n`
}

/** Whether a text holds counts of late replies, and not answers to a probe profile. */
export const isLateText = (text: string): boolean => /^late /.test(text.split(/\r?\n/)[1]?.trim() ?? '')

/** The title as the counts of a text leave it. Where there are too few, it stays as it was. */
export function timedByText(
  text: string,
  title: Title,
  present: Profile,
  adapter: CabledAdapter,
): Result<Title, AnswerFault> {
  const lines = text.replace(/^\uFEFF/, '').split(/\r?\n/)
  const fault = (line: number, message: string) => err({ line: line + 1, message })
  if (lines[0]?.trim() !== FIRST_LINE) return fault(0, t.notAnswers({ first: FIRST_LINE }))
  const named = /^late mode (\d+) read (\d+) step (\d+) pin (\d) /.exec(lines[1]?.trim() ?? '')
  const [mode = NaN, read = NaN, step = NaN, pinNumber = NaN] = (named ?? []).slice(1).map(Number)
  const pin = PINS.find((one) => one === pinNumber)
  const at = { mode: mode - 1, read: read - 1, step: step - 1, inner: null }
  const question = pin === undefined ? null : lateQuestionAt(title, at, pin, present, adapter)
  if (question === null || nameOf(question) !== lines[1]?.trim()) return fault(1, t.otherLate)
  /** One that is not sure keeps its place: the first count of the one goes with the first of the other. */
  const steady: (number | null)[] = []
  const any: (number | null)[] = []
  for (let k = 2; k < lines.length; k++) {
    const line = (lines[k] ?? '').replace(/#.*/, '').trim().toLowerCase()
    if (line === '') continue
    const found = /^(throughout|at-all)\s*=(.*)$/.exec(line)
    const said = found?.[2]?.trim() ?? ''
    if (found === null || !/^(\d{1,3}|\?)?$/.test(said)) return fault(k, t.notACount({ line: THROUGHOUT }))
    if (Number(said) > question.sweep.steps) return fault(k, t.tooManySteps({ steps: question.sweep.steps }))
    ;(found[1] === THROUGHOUT ? steady : any).push(said === '' || said === NOT_SURE ? null : Number(said))
  }
  const counts: Counted[] = steady.flatMap((count, k) => {
    const all = any[k] ?? null
    return count === null || all === null ? [] : [{ steady: count, any: all }]
  })
  if (!isCounted(counts)) return ok(title)
  const timed = timedBy(title, question, counts)
  return timed.ok ? timed : fault(1, timed.error === 'never' ? t.neverActs : t.countsDiffer)
}
