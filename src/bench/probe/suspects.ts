import type { InputMask } from '../../port/pins.ts'
import { possibilitiesOf, titleTaking } from '../../title/possible.ts'
import type { OpenGroup, OpenSample } from '../../title/possible.ts'
import type { Title } from '../../title/schema.ts'
import type { CabledAdapter } from '../judgement.ts'
import type { Probe } from './probe-profiles.ts'
import { ProbedTitle } from './shows.ts'
import type { Added } from './shows.ts'

/** Something to do in front of a title while a probe profile is in the adapter. */
export interface Question {
  readonly probe: Probe
  /** Of the title, from 0. */
  readonly mode: number
  readonly held: InputMask
}

/** What a player has seen act, nothing where the mask is empty; `null` where the player is not sure, which tells nothing. */
export interface Answer {
  readonly question: Question
  readonly acts: InputMask | null
}

/** One way of telling six buttons, with a title that tells them so. */
export interface Way {
  readonly detection: number
  readonly title: Title
}

/** All that a title may be. */
export class Suspects {
  readonly ways: readonly Way[]
  readonly groups: readonly OpenGroup[]
  readonly #probed = new Map<string, ProbedTitle>()

  constructor(
    title: Title,
    private readonly adapter: CabledAdapter,
  ) {
    const { detections, groups } = possibilitiesOf(title) ?? { detections: [title.sixButtons], groups: [] }
    this.groups = groups
    this.ways = detections.map((_, detection) => ({
      detection,
      title: titleTaking(title, detection, mostWaiting),
    }))
  }

  /** What the samples that are not open show, and what each choice of each group does. */
  added({ detection, title }: Way, { probe, mode, held }: Question): Added {
    const key = `${probe.id} ${mode} ${detection}`
    const probed = this.#probed.get(key) ?? new ProbedTitle(probe, title, this.groups, this.adapter, mode)
    this.#probed.set(key, probed)
    return probed.added(held)
  }
}

/** The choice in which the most samples wait for six buttons: what those meet is told together with what told them. */
function mostWaiting({ samples, choices }: OpenGroup): number {
  const waiting = choices.map((choice) => samples.filter((one, k) => waits(one, choice[k] as number)).length)
  return waiting.indexOf(Math.max(...waiting))
}

const waits = ({ takings }: OpenSample, choice: number): boolean => takings[choice]?.when === 'six-buttons'
