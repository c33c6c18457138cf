import type { Pin } from '../../port/pins.ts'
import type { Rectangle, Label } from '../chart/paper.ts'

/* A timing diagram, worked out: paths, words and where they stand, in CSS px. Nothing here knows of colours. */

export interface DrawnPin {
  readonly pin: Pin
  readonly path: string
  /** Ground of what a held input brings about. */
  readonly held: readonly Rectangle[]
  readonly words: readonly (Label & { readonly kind: 'held' | 'guilty' })[]
}

export interface DrawnDue {
  readonly line: string
  readonly words: readonly Label[]
  /** From the sample to the right reply, with its arrows; `null` where no time is short. */
  readonly dimension: { readonly line: string; readonly arrows: readonly string[] } | null
}

export interface TimingDrawing {
  readonly turned: boolean
  readonly width: number
  readonly height: number
  readonly names: readonly Label[]
  readonly select: string
  /** From where select is let go to where it has risen. */
  readonly slopes: readonly string[]
  readonly pins: readonly DrawnPin[]
  /** Ground of the pins at fault, while they show what the sample meets. */
  readonly tint: readonly Rectangle[]
  readonly samples: readonly { readonly hair: string; readonly mark: string; readonly isGuilty: boolean }[]
  readonly guilty: { readonly cross: string; readonly words: readonly Label[] }
  readonly due: DrawnDue | null
  readonly axis: { readonly path: string; readonly words: readonly Label[] }
}
