/** What does not go together in a title, said at the field to change. */
export interface Clash {
  /** Keys and indices, from the title down. */
  readonly at: readonly (string | number)[]
  readonly message: string
}

/** Thrown while a title is laid out; `lay-out-title.ts` makes a value of it. */
export class ClashFound extends Error {
  constructor(readonly clash: Clash) {
    super(clash.message)
  }
}

export function clash(at: Clash['at'], message: string): never {
  throw new ClashFound({ at, message })
}
