export type BenchCore = typeof import('./bench-core.ts')

/** How long to wait before the bench is asked for again. */
const AGAIN_AFTER_MS = 5_000

/** The bench, which comes a moment after the page; until then nothing is judged. */
export class LateBench {
  core = $state.raw<BenchCore | null>(null)

  /** @param load gives the bench; fails where there is no network yet */
  constructor(load: () => Promise<BenchCore> = () => import('./bench-core.ts')) {
    $effect(() => {
      let timer: ReturnType<typeof setTimeout> | undefined
      let gone = false
      const attempt = async () => {
        try {
          const core = await load()
          if (!gone) this.core = core
        } catch {
          if (!gone) timer = setTimeout(() => void attempt(), AGAIN_AFTER_MS)
        }
      }
      void attempt()
      return () => {
        gone = true
        clearTimeout(timer)
      }
    })
  }
}
