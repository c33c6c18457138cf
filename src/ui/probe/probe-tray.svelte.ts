/** The title that is asked about: the Titles station lays it here and goes to `#titles/probe`. */
class ProbeTray {
  titleId = $state.raw<string | null>(null)
}

export const probeTray = new ProbeTray()
