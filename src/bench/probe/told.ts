import { cellWord } from '../../port/input-texts.ts'
import { possibilitiesOf } from '../../title/possible.ts'
import type { OpenSample, Taking } from '../../title/possible.ts'
import type { Trials } from '../../title/rule-out.ts'
import type { Title } from '../../title/schema.ts'
import { eitherWords, listWords, rowWords } from '../../words/lists.ts'
import { lineStart } from '../../words/sentence-texts.ts'
import { detectsWords, placeWords } from '../does-words.ts'
import { choicesLeft } from './narrowed.ts'
import { t } from './probe-texts.ts'
import type { Left } from './weighing.ts'

/** Something that answers tell of a title, and how sure that is; or what they leave open. */
export interface Told {
  readonly about: string
  readonly value: string
  /** Empty for what is open. */
  readonly certainty: string
}

interface ToldSample {
  readonly about: string
  readonly place: string
  readonly trials: Trials
}

/** What of an undecided title the answers tell, and what is still open. */
export function toldBy(title: Title, left: Left): { readonly told: Told[]; readonly open: Told[] } {
  const { detections, groups } = possibilitiesOf(title) ?? { detections: [], groups: [] }
  const told: ToldSample[] = []
  const open: string[] = []
  const unused: ToldSample[] = []
  groups.forEach(({ samples, choices }, g) => {
    const among = choicesLeft(left, g)
    samples.forEach((sample, k) => {
      const takings = new Set(among.flatMap((c) => choices[c]?.[k] ?? []))
      const [only] = takings
      const place = placeWords(title, sample)
      if (takings.size > 1 || only === undefined) open.push(place)
      else {
        const about = takingWords(sample, only)
        const to = about === t.unused ? unused : told
        to.push({ about, place, trials: left.groupTrials[g] ?? NONE })
      }
    })
  })
  const samplesTold = [...told, ...unused]
  const ways = [...new Set(left.ways.map(({ way }) => way.detection))]
  const [way] = ways
  const detection = way === undefined ? undefined : detections[way]
  const isDetected = detections.length > 1 && ways.length === 1 && detection !== undefined
  return {
    told: [
      ...[...new Set(samplesTold.map(({ about }) => about))].map((about) => {
        const alike = samplesTold.filter((one) => one.about === about)
        return {
          about,
          value: rowWords(alike.map(({ place }) => place)),
          certainty: certaintyWords(alike.map(({ trials }) => trials)),
        }
      }),
      ...(isDetected
        ? [
            {
              about: t.detection,
              value: lineStart(detectsWords(title, detection)),
              certainty: certaintyWords([left.detectionTrials]),
            },
          ]
        : []),
    ],
    open: [
      ...(open.length > 0 ? [{ about: t.samples, value: rowWords(open), certainty: '' }] : []),
      ...(ways.length > 1
        ? [
            {
              about: t.detection,
              value: lineStart(
                eitherWords(ways.flatMap((k) => detections[k] ?? []).map((one) => detectsWords(title, one))),
              ),
              certainty: '',
            },
          ]
        : []),
    ],
  }
}

const NONE: Trials = { trials: 0, against: 0 }

/** "Used", "Not used", "Used for X, Y, Z and Mode". */
function takingWords({ takings }: OpenSample, choice: number): string {
  const { sample, when } = takings[choice] as Taking
  const taken = Object.values(sample)
  if (taken.length === 0) return t.unused
  if (when === 'always') return t.used
  const inputs = taken.map((one) => (typeof one === 'string' ? one : one.input))
  return t.usedFor({ inputs: listWords(inputs.map(cellWord)) })
}

/** How many answers tell it, and how many spoke against it. */
function certaintyWords(all: readonly Trials[]): string {
  const counts = all.map(({ trials, against }) => Math.max(1, trials - against))
  const against = Math.max(...all.map((one) => one.against))
  const [from, to] = [Math.min(...counts), Math.max(...counts)]
  return from === to ? t.by({ n: to, against }) : t.byBetween({ from, to, against })
}
