/** A wrong input, said in one sentence; the command ends with exit code 2 and nothing written. */
export class BadInput extends Error {
  constructor(
    /** The file or value that is wrong. */
    readonly subject: string,
    /** JSON path, byte or line within it; empty where there is none. */
    readonly place: string,
    readonly complaint: string,
  ) {
    super([subject, place, complaint].filter((part) => part !== '').join(': '))
  }
}

/** There is no adapter, or it did not take what was sent; said in a sentence, exit 1. */
export class AdapterRefused extends Error {}

/** Exit codes; part of the contract in README. */
export const EXIT = {
  fine: 0,
  /** A pair misreads, or an adapter did not take what was sent. */
  no: 1,
  badInput: 2,
  /** A fault of ours. */
  broken: 3,
} as const
