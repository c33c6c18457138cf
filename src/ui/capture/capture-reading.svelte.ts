import type { Pin } from '../../port/pins.ts'
import type {
  CaptureLine,
  CaptureProgress,
  Found,
  LineChoice,
  PinLine,
} from '../../title/capture/read-capture.ts'
import { foreign } from '../../words/foreign.ts'
import { subjectWords } from '../../words/sentence-texts.ts'
import type { Bridge } from '../worker/bridge.ts'
import { faultTexts } from '../worker/fault-texts.ts'
import type { Questions } from '../worker/questions.ts'
import { t } from './capture-texts.ts'
import type { CaptureJudging, FileAnswer } from './read-file.ts'
import { percentOf, progressWords } from './capture-words.ts'

/** More lines than these make a list that nobody can choose from. */
export const MOST_LINES = 1_000
/** More lines than these are not offered as data lines one by one: an analyser has no more channels, so such a capture is of something else. */
export const MOST_DATA_LINES = 16

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
  readonly #bridge: Bridge<Questions>
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

  /** Which lines are assigned to pins, several to one perhaps. */
  #data = $state.raw<readonly PinLine[]>([])
  /** Whether the user has said which they are. */
  #isDataSaid = false

  /** Whether the capture begins at power-on, as the user says. */
  fromPowerOn = $state(false)

  /** What the line says by itself of the profile. */
  byItself = $state.raw<readonly string[]>([])
  readonly #judging: CaptureJudging

  /** @param bridge for this alone: its worker goes with each line, as a line takes much memory */
  constructor(file: File, bridge: Bridge<Questions>, judging: CaptureJudging) {
    this.file = file
    this.#judging = judging
    this.#bridge = bridge
    this.read(null)
  }

  get busy(): boolean {
    return this.stage === 'opening' || this.stage === 'reading' || this.stage === 'looking'
  }

  /** Reads a line; what was read of another goes. @param lineId `null`: the one that must be select */
  read(lineId: string | null): void {
    this.#bridge.end()
    this.stage = 'opening'
    this.lineId = lineId
    this.bytesRead = null
    this.sentence = ''
    this.found = null
    this.byItself = []
    const choice: LineChoice = lineId === null ? { by: 'itself' } : { by: 'id', id: lineId }
    this.#bridge.ask(
      'capture',
      {
        file: this.file,
        choice,
        ...(this.#isDataSaid && { data: this.data }),
        fromPowerOn: this.fromPowerOn,
        judging: this.#judging,
      },
      {
        progress: (progress) => this.#take(progress),
        settled: (result) => {
          this.#bridge.end()
          if (result.ok) this.#settle(result.value)
          else this.#refuse(faultTexts.capture({ fault: result.error, file: foreign(this.file.name) }))
        },
      },
    )
  }

  /** Reads the line again as one that begins at power-on, or not. */
  sayFromPowerOn(does: boolean): void {
    this.fromPowerOn = does
    this.read(this.lineId)
  }

  /** The lines that can be data lines; none where nobody has said which is select, or where they are too many. */
  get others(): readonly CaptureLine[] {
    if (this.lineId === null || this.lines.length > MOST_DATA_LINES) return []
    return this.lines.filter(({ id }) => id !== this.lineId)
  }

  /** The lines that are read as data lines: of two that are assigned to one pin neither is. */
  get data(): readonly PinLine[] {
    return this.#data.filter((one) => one.lineId !== this.lineId && !this.isAssignedTwice(one.lineId))
  }

  /** The pin that a line is assigned to; `null`: none. */
  pinOf(lineId: string): Pin | null {
    return this.#data.find((one) => one.lineId === lineId)?.pin ?? null
  }

  /** Whether the pin of this line has another one, too: keys pass through pins that are not meant, so none is taken away from a line. */
  isAssignedTwice(lineId: string): boolean {
    const pin = this.pinOf(lineId)
    return (
      pin !== null &&
      this.#data.some((one) => one.pin === pin && one.lineId !== lineId && one.lineId !== this.lineId)
    )
  }

  /** Reads again with this line as the data line of a pin. @param pin `null`: of none */
  sayData(lineId: string, pin: Pin | null): void {
    const others = this.#data.filter((one) => one.lineId !== lineId)
    this.#data = pin === null ? others : [...others, { pin, lineId }]
    this.#isDataSaid = true
    this.read(this.lineId)
  }

  cancel(): void {
    if (this.busy) this.stage = 'cancelled'
    this.#bridge.end()
  }

  /** What it is at, for eyes. */
  get progress(): string {
    if (this.stage === 'looking') return t.looking
    if (this.bytesRead === null) return this.stage === 'opening' ? t.opening : t.reading
    return t.readingOf({ progress: progressWords(this.bytesRead, this.file.size) })
  }

  /** What it is at, for ears: not every per cent, but every quarter. */
  get heard(): string {
    if (this.stage === 'reading' && this.bytesRead !== null) {
      const quarter = 25 * Math.floor(percentOf(this.bytesRead, this.file.size) / 25)
      return quarter === 0 ? t.reading : t.percentRead({ percent: quarter })
    }
    if (this.busy) return this.progress
    if (this.stage === 'cancelled') return t.isCancelled
    if (this.stage !== 'found') return ''
    return this.found?.title ? t.found : t.notFound
  }

  #take(progress: CaptureProgress): void {
    switch (progress.kind) {
      case 'lines':
        this.#list(progress.lines, progress.lineId)
        if (!this.#isDataSaid) this.#data = progress.data
        this.stage = 'reading'
        break
      case 'reading':
        this.bytesRead = progress.bytesRead
        break
      case 'looking':
        this.stage = 'looking'
        break
    }
  }

  /** As many as can be chosen from, and among them the one that is read. */
  #list(lines: readonly CaptureLine[], lineId: string | null): void {
    const listed = lines.slice(0, MOST_LINES)
    const read = lines.find(({ id }) => id === lineId)
    if (read && !listed.includes(read)) listed[MOST_LINES - 1] = read
    this.lines = listed
    this.unlisted = lines.length - listed.length
    this.lineId = lineId
  }

  #settle(answer: FileAnswer): void {
    if (answer.kind === 'found') {
      this.found = answer.found
      this.byItself = answer.byItself
      this.stage = 'found'
    } else if (answer.kind === 'choose') {
      this.sentence = answer.sentence
      this.stage = 'asking'
    } else {
      const { place, message } = answer
      this.#refuse(subjectWords([foreign(this.file.name), place], message))
    }
  }

  #refuse(sentence: string): void {
    this.sentence = sentence
    this.stage = 'refused'
  }
}
