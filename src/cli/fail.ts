import { foreign } from '../words/foreign.ts'
import { subjectWords } from '../words/sentence-texts.ts'
import { programTexts as t } from './fault-texts.ts'

/** A wrong input, said in one sentence; the command ends with exit code 2 and nothing written. */
export class BadInput extends Error {
  constructor(
    /** The file or value that is wrong. */
    readonly subject: string,
    /** JSON path, byte or line within it; empty where there is none. */
    readonly place: string,
    readonly complaint: string,
  ) {
    super(subjectWords([subject, place].map(foreign), foreign(complaint)))
  }
}

/** There is no adapter, or it did not take what was sent; said in a sentence, exit 1. */
export class AdapterRefused extends Error {}

/** What was to be printed could not be written; exit 3. What the command did before it stays done. */
export class OutputLost extends Error {
  constructor(cause: unknown) {
    const code = codeOf(cause)
    super(t.outputLost({ cause: isLoss(code) ? code : 'unknown', code }), { cause })
  }
}

const codeOf = (cause: unknown): string =>
  cause instanceof Error && 'code' in cause ? String(cause.code) : String(cause)

const LOSSES = ['EPIPE', 'ENOSPC', 'EDQUOT', 'EBADF'] as const
const isLoss = (code: string): code is (typeof LOSSES)[number] => LOSSES.some((loss) => loss === code)

/** Exit codes; part of the contract in README. */
export const EXIT = {
  fine: 0,
  /** A pair misreads, or an adapter did not take what was sent. */
  no: 1,
  badInput: 2,
  /** A fault of ours, or output that could not be written. */
  broken: 3,
  /** No pair misreads, but what decides one of them, or whether a title uses a phase of a capture, is not known. */
  undecided: 4,
  /** Ended by the user before its end: what it gives is the best so far. */
  interrupted: 4,
} as const
