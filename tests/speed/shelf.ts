import { Worker } from 'node:worker_threads'
import { judge } from '../../src/bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { TitleEntry } from '../../src/shelf/entry.ts'
import type { JudgeInput, Judgements } from '../../src/ui/judging/judgements.ts'
import { JudgePool } from '../../src/ui/judging/judge-pool.ts'
import { Bridge } from '../../src/ui/worker/bridge.ts'
import type { Questions } from '../../src/ui/worker/questions.ts'
import { likeWorker } from '../ui/worker/thread.ts'
import { shelfOf } from './shelf-titles.ts'

const TITLES = 1_000
const PROFILES = 10
const CORES = 2
const ROUNDS = 5

const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }

/** A bridge to a worker thread of Node in the place of one of the browser. */
const newBridge = (): Bridge<Questions> =>
  // The bundle of this worker stands beside ours, see vite.config.ts.
  new Bridge(() => likeWorker(new Worker(new URL(import.meta.url.replace(/[^/]*$/, 'app.thread.js')))))

/** Profiles that differ in their times, in each round others, so that nothing can be remembered. */
const profilesOf = (round: number): Profile[] =>
  Array.from({ length: PROFILES }, (_, k) => {
    const built = Object.values(BUILT_IN_PROFILES)
    const profile = built[k % built.length] as Profile
    return { ...profile, idleResetNs: profile.idleResetNs + round * PROFILES + k }
  })

const median = (all: readonly number[]): number =>
  [...all].sort((p, q) => p - q)[Math.floor(all.length / 2)] as number

/** The whole shelf judged through the pool of the app, in turns with one thread that does the same. */
export async function wholeShelf(root: string): Promise<void> {
  const titles: TitleEntry[] = shelfOf(root, TITLES).map((document, place) => ({
    kind: 'title',
    id: `title-${place}`,
    revision: 1,
    place,
    origin: 'own',
    document,
  }))
  let answered: (judgements: Judgements) => void = () => undefined
  const pool = new JudgePool(CORES, newBridge, (judgements) => answered(judgements))
  const ask = (input: JudgeInput): Promise<Judgements> =>
    new Promise((resolve) => {
      answered = resolve
      pool.ask(input)
    })
  const pooledMs: number[] = []
  const aloneMs: number[] = []
  for (let round = 0; round <= ROUNDS; round++) {
    const profiles = profilesOf(round)
    const start = performance.now()
    for (const profile of profiles) {
      const { size } = await ask({ profile, titles, options })
      if (size !== TITLES) throw new Error(`the pool judged ${size} of ${TITLES} titles`)
    }
    const between = performance.now()
    for (const profile of profiles) for (const { document } of titles) judge(profile, document, options)
    // The first round warms up.
    if (round === 0) continue
    pooledMs.push(between - start)
    aloneMs.push(performance.now() - between)
  }
  pool.end()
  console.log(`ms shelf-${TITLES}x${PROFILES} ${median(pooledMs).toFixed(0)}`)
  console.log(`ratio shelf-pool-over-one-thread ${(median(aloneMs) / median(pooledMs)).toFixed(2)}`)
}
