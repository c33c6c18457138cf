import type { Judgement } from '../../bench/judgement.ts'
import type { Title } from '../../title/schema.ts'
import type { Bridge } from '../worker/bridge.ts'
import type { Questions } from '../worker/questions.ts'
import { Judge } from './judge-all.ts'
import type { JudgeInput, Judgements } from './judgements.ts'

/** A worker, and the titles that are its own: as it has them, or `null` before it was sent them. */
interface Lane {
  readonly bridge: Bridge<Questions>
  readonly titles: Map<string, Title | null>
}

/**
 * The judging workers, with the titles divided among them. One question at a time; while it is being answered only the latest next one
 * is kept. A title is sent once, and again when it changes.
 */
export class JudgePool {
  readonly #answered: (judgements: Judgements, input: JudgeInput) => void
  readonly #lanes: readonly Lane[]
  #asked: JudgeInput | null = null
  #wanted: JudgeInput | null = null
  /** Workers that have not answered yet. */
  #open = 0
  #found = new Map<string, Judgement>()
  /** Judges in place of workers that failed. */
  #broken: Judge | null = null

  /**
   * @param size number of workers; one is started when there is a title for it
   * @param newBridge gives a bridge to a worker of its own
   */
  constructor(
    size: number,
    newBridge: () => Bridge<Questions>,
    answered: (judgements: Judgements, input: JudgeInput) => void,
  ) {
    this.#answered = answered
    this.#lanes = Array.from({ length: size }, () => ({ bridge: newBridge(), titles: new Map() }))
  }

  ask(input: JudgeInput): void {
    if (this.#broken) {
      this.#answered(this.#broken.all(input), input)
      return
    }
    if (this.#asked !== null) {
      this.#wanted = input
      return
    }
    this.#divide(input)
    this.#asked = input
    const busy = this.#lanes.filter(({ titles }) => titles.size > 0)
    this.#open = busy.length
    if (busy.length === 0) this.#close()
    for (const lane of busy) this.#send(lane, input)
  }

  end(): void {
    for (const lane of this.#lanes) {
      lane.bridge.end()
      lane.titles.clear()
    }
    this.#asked = null
    this.#wanted = null
    this.#open = 0
    this.#found.clear()
  }

  /** A title stays with its worker; a new one goes to the worker that has the fewest. */
  #divide({ titles }: JudgeInput): void {
    const asked = new Set(titles.map(({ id }) => id))
    for (const lane of this.#lanes) {
      for (const id of lane.titles.keys())
        if (asked.has(id)) asked.delete(id)
        else lane.titles.delete(id)
    }
    for (const id of asked) {
      const fewest = this.#lanes.reduce((least, lane) =>
        lane.titles.size < least.titles.size ? lane : least,
      )
      fewest.titles.set(id, null)
    }
  }

  #send(lane: Lane, { profile, options, titles }: JudgeInput): void {
    const own = titles.filter(({ id }) => lane.titles.has(id))
    const changed = own.filter(({ id, document }) => lane.titles.get(id) !== document)
    for (const { id, document } of changed) lane.titles.set(id, document)
    const request = {
      profile,
      options,
      ids: own.map(({ id }) => id),
      titles: changed.map(({ id, document }) => ({ id, document })),
    }
    lane.bridge.ask('judge', request, {
      settled: (result) => {
        if (!result.ok) return this.#judgeHere()
        for (const [id, judgement] of result.value) this.#found.set(id, judgement)
        if (--this.#open === 0) this.#close()
      },
    })
  }

  /** A worker that cannot be loaded must not leave titles without a verdict. */
  #judgeHere(): void {
    const asked = this.#wanted ?? this.#asked
    this.end()
    this.#broken = new Judge()
    if (asked) this.ask(asked)
  }

  /** The question is answered, in the order in which its titles were asked for. */
  #close(): void {
    const [asked, wanted, found] = [this.#asked, this.#wanted, this.#found]
    this.#asked = null
    this.#wanted = null
    this.#found = new Map()
    if (asked) {
      const ordered = asked.titles.flatMap(({ id }) => {
        const judgement = found.get(id)
        return judgement ? [[id, judgement] as const] : []
      })
      this.#answered(new Map(ordered), asked)
    }
    if (wanted) this.ask(wanted)
  }
}

const MOST_WORKERS = 4

/** As many workers as there are cores, within reason. */
export const workersFor = (cores: number): number => Math.max(1, Math.min(MOST_WORKERS, cores))
