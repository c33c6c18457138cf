import { PINS } from '../../port/pins.ts'
import type { Pin } from '../../port/pins.ts'
import type { Listed } from '../infer/choose.ts'
import { LineCleaner } from '../select-line.ts'
import type { LineSpan, SelectLine } from '../select-line.ts'

/** A data line as it was captured: no pulse is too short to be kept, since a reply can bounce before it has settled. */
export interface DataLine extends Pick<SelectLine, 'timesNs' | 'levels' | 'endNs'> {
  readonly pin: Pin
}

/** Most changes of a data line that are kept, in 20 MB: hours of reads. */
const MAX_CHANGES = 2 ** 21

/** Takes the changes of a data line while they are read. */
export class DataLineReader {
  readonly #line = new LineCleaner({ glitchNs: 0, maxEdges: MAX_CHANGES })
  readonly push = this.#line.push
  #hasFailed = false

  constructor(readonly pin: Pin) {}

  /** The line cannot be read. */
  readonly fail = (): void => {
    this.#hasFailed = true
  }

  /** `null` where it could not be read. */
  finish(span: LineSpan): DataLine | null {
    if (this.#hasFailed) return null
    const { timesNs, levels, endNs } = this.#line.finish(span)
    return { pin: this.pin, timesNs, levels, endNs }
  }
}

/**
 * The pin that a line is named after, as in `pin1`, `Pin 1` or `pin_1[0]`; `null`: none. Other names say nothing: the channels of an analyser are
 * numbered, too.
 */
export function pinNamed(name: string): Pin | null {
  const number = /^pin[ _-]?(\d)(?:\s*\[\d+\])?$/i.exec(name)?.[1]
  return PINS.find((pin) => String(pin) === number) ?? null
}

const scopeOf = ({ name, path }: Listed): string => path.slice(0, path.length - name.length)

/** The data lines next to a select line: where a pin has several they are those of its own scope, and where it has several there, none. */
export function dataLinesOf<L extends Listed>(lines: readonly L[], select: Listed): Map<Pin, L> {
  const found = new Map<Pin, L>()
  for (const pin of PINS) {
    const named = lines.filter(({ name }) => pinNamed(name) === pin)
    const near = named.filter((line) => scopeOf(line) === scopeOf(select))
    const [line, ...others] = named.length > 1 ? near : named
    if (line !== undefined && others.length === 0) found.set(pin, line)
  }
  return found
}
