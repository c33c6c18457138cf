import type { Level } from '../../port/pins.ts'
import type { Finding } from '../../title/infer/findings.ts'
import type { Title } from '../../title/schema.ts'

/** What the page and the worker that reads captures say to each other. One worker does one job. */

export interface CaptureRequest {
  readonly file: File
  /** Which line to read, by its id; `null` leaves the choice to the reader. */
  readonly lineId: string | null
}

/** A line of a capture that may be select. */
export interface CaptureLine {
  /** Its own in the file: the path of a wire, the bit of a channel. */
  readonly id: string
  readonly label: string
}

/** Select in one of the usual reads. */
export interface OneRead {
  readonly rest: Level
  /** When its first edge comes, on the capture's clock. */
  readonly startNs: number
  /** From the first edge, which is at 0. */
  readonly edgesNs: readonly number[]
}

/** What a line told: a title and what it stands on, or why it makes no title and what shows all the same. */
export interface Found {
  readonly title: Title | null
  /** Why there is no title; empty where there is one. */
  readonly fault: string
  readonly findings: readonly Finding[]
  readonly read: OneRead | null
}

export type CaptureMessage =
  | {
      readonly kind: 'lines'
      readonly lines: readonly CaptureLine[]
      /** How many more the file has. */
      readonly unlisted: number
      /** The line that is read now; `null` where the user has to say, and `sentence` why. */
      readonly lineId: string | null
      readonly sentence: string
    }
  | { readonly kind: 'progress'; readonly bytesRead: number }
  /** All is read; reads and frames are looked for. */
  | { readonly kind: 'looking' }
  | { readonly kind: 'found'; readonly found: Found }
  | { readonly kind: 'refused'; readonly sentence: string }
