import type { CaptureLine, CaptureMessage, Found } from './capture-messages.ts'
import type { StartCaptureJob } from './capture-job.ts'
import { percentOf, progressWords } from './capture-words.ts'

/**
 * How far it has come.
 * - `opening`: which lines are there is not known yet
 * - `asking`: the user has to say which line is select
 * - `reading`, `looking`: the line is read; a title is looked for in it
 * - `found`: something was found, a title perhaps
 * - `refused`: the file cannot be read
 * - `cancelled`: the user has ended it
 */
export type CaptureStage = 'opening' | 'asking' | 'reading' | 'looking' | 'found' | 'refused' | 'cancelled'

/** A capture that is read, one line after the other as the user chooses. */
export class CaptureReading {
  readonly file: File
  readonly #start: StartCaptureJob
  #end: () => void = () => undefined
  stage = $state<CaptureStage>('opening')
  lines = $state.raw<readonly CaptureLine[]>([])
  /** How many lines the file has beside those. */
  unlisted = $state(0)
  /** The line that is, or was, read; `null` before there is one. */
  lineId = $state<string | null>(null)
  /** `null` where it does not show how far the reading is. */
  bytesRead = $state<number | null>(null)
  /** Why nothing is read: the user has to choose, or the file is refused. */
  sentence = $state('')
  found = $state.raw<Found | null>(null)

  constructor(file: File, start: StartCaptureJob) {
    this.file = file
    this.#start = start
    this.read(null)
  }

  get busy(): boolean {
    return this.stage === 'opening' || this.stage === 'reading' || this.stage === 'looking'
  }

  /** Reads a line; what was read of another goes. @param lineId `null`: the one that must be select */
  read(lineId: string | null): void {
    this.#end()
    this.stage = 'opening'
    this.lineId = lineId
    this.bytesRead = null
    this.sentence = ''
    this.found = null
    this.#end = this.#start({ file: this.file, lineId }, (message) => this.#take(message))
  }

  cancel(): void {
    if (this.busy) this.stage = 'cancelled'
    this.#end()
  }

  /** What it is at, for eyes. */
  get progress(): string {
    if (this.stage === 'looking') return 'All is read. Looking for reads and frames'
    if (this.bytesRead === null) return this.stage === 'opening' ? 'Opening' : 'Reading'
    return `Reading: ${progressWords(this.bytesRead, this.file.size)}`
  }

  /** What it is at, for ears: not every per cent, but every quarter. */
  get heard(): string {
    if (this.stage === 'reading' && this.bytesRead !== null) {
      const quarter = 25 * Math.floor(percentOf(this.bytesRead, this.file.size) / 25)
      return quarter === 0 ? 'Reading' : `${quarter} % read`
    }
    if (this.busy) return this.progress
    if (this.stage === 'cancelled') return 'Cancelled.'
    if (this.stage !== 'found') return ''
    return this.found?.title ? 'A read pattern was found.' : 'No read pattern was found.'
  }

  #take(message: CaptureMessage): void {
    switch (message.kind) {
      case 'lines':
        this.lines = message.lines
        this.unlisted = message.unlisted
        this.lineId = message.lineId
        this.sentence = message.sentence
        this.stage = message.lineId === null ? 'asking' : 'reading'
        if (message.lineId === null) this.#end()
        break
      case 'progress':
        this.bytesRead = message.bytesRead
        break
      case 'looking':
        this.stage = 'looking'
        break
      case 'found':
        this.found = message.found
        this.stage = 'found'
        this.#end()
        break
      case 'refused':
        this.sentence = message.sentence
        this.stage = 'refused'
        this.#end()
        break
    }
  }
}
