import { judge } from '../../bench/judge.ts'
import { explainSymptoms } from '../../bench/symptoms.ts'
import { READ_PATTERNS } from '../../bench/symptoms/patterns.ts'
import { remedies } from '../../bench/symptoms/trials.ts'
import type { Helping, SymptomAnswer, SymptomQuestion } from './symptom-question.ts'

export function answerSymptoms(question: SymptomQuestion): SymptomAnswer {
  const explanation = explainSymptoms(question.present, question.saw, question.options)
  const causes = new Set(explanation.causes.map(({ pattern }) => pattern))
  return { ...explanation, helping: helpingTable(question, causes) }
}

/** Which remedy helps against which of the causes, so that the page can go on choosing while the list of causes narrows. */
function helpingTable({ present, saw, options }: SymptomQuestion, causes: ReadonlySet<string>): Helping[] {
  const patterns = READ_PATTERNS.filter(({ id }) => causes.has(id))
  return remedies(present, options.profiles, options).map(({ remedy, profile, shows }) => ({
    remedy,
    patterns: patterns
      .filter(({ title }) => saw.every((symptom) => !shows(title).has(symptom)))
      .filter(({ title }) => judge(profile, title, options).verdict !== 'misread')
      .map(({ id }) => id),
  }))
}
