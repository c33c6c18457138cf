import { foreign } from '../../words/foreign.ts'
import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import { chooseSelect } from '../../title/infer/choose.ts'
import { inferFromLine } from '../../title/infer/infer.ts'
import { LineCleaner } from '../../title/infer/line.ts'
import type { LineSpan } from '../../title/infer/line.ts'
import { faultSentence } from '../../title/infer/words.ts'
import { MAX_SESSION_BYTES, Session } from '../../title/session/read.ts'
import type { SessionFault } from '../../title/session/read.ts'
import { looksLikeZip } from '../../title/session/zip.ts'
import type { ChangeSink, VcdFault } from '../../title/vcd/capture.ts'
import { listWires, readVcdStreamTo } from '../../title/vcd/stream.ts'
import type { CaptureLine, CaptureMessage, CaptureRequest } from './capture-messages.ts'
import { fileTitle } from './capture-words.ts'
import { oneRead } from './one-read.ts'

/** More lines than these make a list that nobody can choose from. */
export const MOST_LINES = 1_000

/** At the most so many reports of progress are made of a file. */
const REPORTS = 200
const LEAST_REPORT_BYTES = 1 << 18

type Tell = (message: CaptureMessage) => void

interface Line extends CaptureLine {
  readonly name: string
  readonly path: string
}

/** A capture of either kind. Faults are sentences. */
interface Capture {
  readonly lines: readonly Line[]
  read(
    line: Line,
    sink: ChangeSink,
    onProgress: (bytesRead: number) => void,
  ): Promise<Result<LineSpan, string>>
}

/**
 * Reads one line of a capture and finds a title in it. Tells which lines there are, how far it has come, and at last what
 * was found or why nothing can be read. Never rejects.
 */
export async function readCapture({ file, lineId }: CaptureRequest, tell: Tell): Promise<void> {
  const refuse = (sentence: string) =>
    tell({ kind: 'refused', sentence: `${foreign(file.name)}: ${sentence}` })
  try {
    const capture = await openCapture(file)
    if (!capture.ok) return refuse(capture.error)
    const line = lineOf(capture.value.lines, lineId)
    tellLines(tell, capture.value.lines, line)
    if (!line.ok) return

    const cleaner = new LineCleaner()
    const span = await capture.value.read(line.value, cleaner.push, reporter(file.size, tell))
    if (!span.ok) return refuse(span.error)
    tell({ kind: 'looking' })
    const select = cleaner.finish(span.value)
    const origin = { name: fileTitle(file.name), source: `${line.value.label} in ${foreign(file.name)}` }
    const inferred = inferFromLine(select, origin)
    const told = inferred.ok
      ? { title: inferred.value.title, fault: '', findings: inferred.value.findings }
      : { title: null, fault: faultSentence(inferred.error), findings: inferred.error.findings }
    tell({ kind: 'found', found: { ...told, read: oneRead(select) } })
  } catch {
    refuse('the file could not be read to its end. It may have moved or changed; choose it again.')
  }
}

const lineOf = (lines: readonly Line[], lineId: string | null): Result<Line, string> => {
  const asked = lines.find(({ id }) => id === lineId)
  return asked === undefined ? chooseSelect(lines) : ok(asked)
}

function tellLines(tell: Tell, lines: readonly Line[], line: Result<Line, string>): void {
  const listed = lines.slice(0, MOST_LINES)
  if (line.ok && !listed.includes(line.value)) listed[MOST_LINES - 1] = line.value
  tell({
    kind: 'lines',
    lines: listed.map(({ id, label }) => ({ id, label })),
    unlisted: lines.length - listed.length,
    lineId: line.ok ? line.value.id : null,
    sentence: line.ok ? '' : line.error,
  })
}

/** Passes on progress in steps that can be seen, as chunks may come by the thousand. */
function reporter(size: number, tell: Tell): (bytesRead: number) => void {
  const step = Math.max(LEAST_REPORT_BYTES, size / REPORTS)
  let next = 0
  return (bytesRead) => {
    if (bytesRead < next) return
    next = bytesRead + step
    tell({ kind: 'progress', bytesRead })
  }
}

async function openCapture(file: File): Promise<Result<Capture, string>> {
  const head = new Uint8Array(await file.slice(0, 4).arrayBuffer())
  return looksLikeZip(head) ? openSession(file) : openDump(file)
}

/** A dump is read as a stream, twice: as far as its header goes, and whole. */
async function openDump(file: File): Promise<Result<Capture, string>> {
  const wires = await listWires(file.stream())
  if (!wires.ok) return err(dumpSentence(wires.error))
  return ok({
    lines: wires.value.map((wire) => ({ ...wire, id: wire.path, label: wire.path })),
    async read({ path }, sink, onProgress) {
      const span = await readVcdStreamTo(sink, file.stream(), { signal: path, onProgress })
      return span.ok ? span : err(dumpSentence(span.error))
    },
  })
}

/** A session is a zip, whose directory stands at its end: it is held packed, and its samples are unpacked piece by piece. */
async function openSession(file: File): Promise<Result<Capture, string>> {
  if (file.size > MAX_SESSION_BYTES) {
    return err(`a session may have ${MAX_SESSION_BYTES / 1024 / 1024} MiB. Save a shorter capture, or a VCD.`)
  }
  const session = Session.open(new Uint8Array(await file.arrayBuffer()))
  if (!session.ok) return err(sessionSentence(session.error))
  const { channels } = session.value
  const channelOf = new Map(channels.map((channel) => [String(channel.bit), channel]))
  return ok({
    lines: channels.map(({ name, bit }) => {
      const isOne = channels.filter((other) => other.name === name).length === 1
      const label = isOne ? name : `${name} (channel ${bit + 1})`
      return { id: String(bit), label, name, path: label }
    }),
    read({ id }, sink) {
      const channel = channelOf.get(id)
      if (channel === undefined) return Promise.resolve(err('the channel is missing. Choose another.'))
      const span = session.value.read(channel, sink)
      return Promise.resolve(span.ok ? span : err(sessionSentence(span.error)))
    },
  })
}

const dumpSentence = ({ line, message }: VcdFault): string => `line ${line}: ${message}`
const sessionSentence = ({ entry, message }: SessionFault): string =>
  entry === '' ? message : `${entry}: ${message}`
