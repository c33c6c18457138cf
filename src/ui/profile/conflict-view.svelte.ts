import { createContext } from 'svelte'
import { conflictsIn } from '../../profile/conflicts.ts'
import type { Conflict } from '../../profile/conflicts.ts'
import type { Profile } from '../../profile/schema.ts'
import { CONFLICT_WORDS, byPlace, placeIds } from './conflict-places.ts'

/** The conflicts of the open profile, judged with every edit, by the places where they are told. */
export class ConflictView {
  readonly #profile: () => Profile
  readonly all: readonly Conflict[] = $derived.by(() => conflictsIn(this.#profile(), CONFLICT_WORDS))
  readonly #byPlace = $derived.by(() => byPlace(this.all, this.#profile()))

  constructor(profile: () => Profile) {
    this.#profile = profile
  }

  at(id: string): readonly Conflict[] {
    return this.#byPlace.get(id) ?? []
  }

  /** Id of the place that a conflict leads to. */
  leadsTo(conflict: Conflict): string | undefined {
    return placeIds(conflict, this.#profile())[0]
  }
}

export const [useConflicts, setConflicts] = createContext<ConflictView>()
