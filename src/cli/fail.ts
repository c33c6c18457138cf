import { foreign } from '../words/foreign.ts'

/** A wrong input, said in one sentence; the command ends with exit code 2 and nothing written. */
export class BadInput extends Error {
  constructor(
    /** The file or value that is wrong. */
    readonly subject: string,
    /** JSON path, byte or line within it; empty where there is none. */
    readonly place: string,
    readonly complaint: string,
  ) {
    super(
      [subject, place, complaint]
        .filter((part) => part !== '')
        .map(foreign)
        .join(': '),
    )
  }
}

/** There is no adapter, or it did not take what was sent; said in a sentence, exit 1. */
export class AdapterRefused extends Error {}

/** What was to be printed could not be written; exit 3. What the command did before it stays done. */
export class OutputLost extends Error {
  constructor(cause: unknown) {
    const code = cause instanceof Error && 'code' in cause ? String(cause.code) : String(cause)
    const [why, remedy] = LOST[code] ?? [`the system says ${code}`, 'Send it elsewhere']
    super(
      `The output could not be written: ${why}. Files and banks that this command has written are complete. ` +
        `${remedy}, and run this again.`,
      { cause },
    )
  }
}

const LOST: Record<string, readonly [why: string, remedy: string]> = {
  EPIPE: [
    'the program that reads it has closed the pipe',
    'Let it read to the end, or send the output to a file',
  ],
  ENOSPC: ['the disk is full', 'Make room, or send the output elsewhere'],
  EDQUOT: ['the disk space you may use is full', 'Make room, or send the output elsewhere'],
  EBADF: ['it was closed before it began', 'Send the output somewhere'],
}

/** Exit codes; part of the contract in README. */
export const EXIT = {
  fine: 0,
  /** A pair misreads, or an adapter did not take what was sent. */
  no: 1,
  badInput: 2,
  /** A fault of ours, or output that could not be written. */
  broken: 3,
} as const
