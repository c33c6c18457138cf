import { writeSync } from 'node:fs'
import { stderr } from 'node:process'
import { foreign, foreignLines, withoutHarm } from '../words/foreign.ts'
import { OutputLost } from './fail.ts'

const [STDOUT, STDERR] = [1, 2]

/** How long a full pipe is left to its reader before the next try. */
const WAIT_MS = 5

/**
 * Prints lines on standard output. Nothing in them can command the terminal.
 *
 * @throws OutputLost where they cannot be written: the disk is full, or nobody reads any more
 */
export function say(lines: string): void {
  try {
    writeAll(STDOUT, `${foreignLines(lines)}\n`)
  } catch (cause) {
    throw new OutputLost(cause)
  }
}

/** Prints a value as JSON on standard output. */
export const sayJson = (value: unknown): void => say(jsonText(value))

/** A value as JSON that shows as it is: what could command a terminal is escaped, so that nothing of the value is lost. */
export const jsonText = (value: unknown): string => withoutHarm(JSON.stringify(value, null, 2), escaped)

const escaped = (harmful: string): string =>
  harmful
    .split('')
    .map((unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`)
    .join('')

/** Prints one sentence on standard error: what is wrong. */
export const complain = (sentence: string): void => aside(`ninepin: ${foreign(sentence)}`)

/** Prints lines on standard error. Where they cannot be written there is nobody left to tell; the exit code tells it. */
export const aside = (lines: string): void => writeAside(`${foreignLines(lines)}\n`)

/** Whether somebody watches standard error, for whom it pays to tell how far something is. */
export const isWatched = (): boolean => stderr.isTTY

/** From the start of the line: over all that stands on it. */
const ERASED = '\r\u001b[K'

/** Where a terminal does not say how wide it is. */
const USUAL_COLUMNS = 80

/**
 * Puts one line in the place of the one on which the cursor stands, on a terminal at standard error; an empty one leaves nothing. It is
 * cut off before it would wrap, since a line that wraps could not be written over.
 */
export function overwriteAside(line: string): void {
  const columns = stderr.columns || USUAL_COLUMNS
  writeAside(ERASED + [...foreign(line)].slice(0, columns - 1).join(''))
}

function writeAside(text: string): void {
  try {
    writeAll(STDERR, text)
  } catch {
    return
  }
}

/** Writes at once, so that a fault shows where it arises and an exit loses nothing. */
function writeAll(stream: number, text: string): void {
  const bytes = new TextEncoder().encode(text)
  for (let at = 0; at < bytes.length;) {
    try {
      at += writeSync(stream, bytes, at)
    } catch (cause) {
      if (!(cause instanceof Error && 'code' in cause && cause.code === 'EAGAIN')) throw cause
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, WAIT_MS)
    }
  }
}
