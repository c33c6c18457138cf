import { t as documentTexts } from '../../document/document-texts.ts'
import type { Pin } from '../../port/pins.ts'
import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import { foreign } from '../../words/foreign.ts'
import { chooseSelect, findLine } from '../infer/choose.ts'
import type { Listed } from '../infer/choose.ts'
import type { CaptureFinding } from '../infer/findings.ts'
import type { Capture } from '../evidence.ts'
import { nameFrom } from '../infer/finding-words.ts'
import { inferFromLine } from '../infer/infer.ts'
import { DataLineReader, dataLinesOf } from '../replies/data-lines.ts'
import type { DataLine } from '../replies/data-lines.ts'
import { measurePad } from '../replies/measure-pad.ts'
import { padFindings, padShown } from '../replies/pad-findings.ts'
import { LineCleaner } from '../select-line.ts'
import { t as inferTexts } from '../infer/infer-texts.ts'
import type { LineSpan, SelectLine } from '../select-line.ts'
import { faultSentence } from '../infer/finding-words.ts'
import type { Title } from '../schema.ts'
import { MAX_SESSION_BYTES, Session } from '../session/read.ts'
import type { SessionFault } from '../session/read.ts'
import { t } from '../session/session-texts.ts'
import { looksLikeZip } from '../session/zip.ts'
import type { ChangeSink, VcdFault } from '../vcd/capture.ts'
import { WireLister } from '../vcd/list.ts'
import { VcdReader } from '../vcd/read.ts'
import { HeadedChunks, joined } from './chunks.ts'
import type { Chunks } from './chunks.ts'
import { fileTitle } from './file-title.ts'
import { oneRead } from './one-read.ts'
import type { OneRead } from './one-read.ts'

/** A capture as it comes in. */
export interface CaptureSource {
  /** Of the file, without its folder. */
  readonly name: string
  /** `null` where it is not known before the end, as of a pipe. */
  readonly bytes: number | null
  readonly chunks: Chunks
  /** What the file is told by, so that a title can point to it; `null` where that cannot be had. */
  readonly identify?: () => Promise<Pick<Capture, 'sha256' | 'bytes'> | null>
  /** Whether it begins at power-on, as the user says: edges do not show that. */
  readonly fromPowerOn?: boolean
}

/** Which line is select: the one that must be, the one with an id, the one that goes by a name or a full path. */
export type LineChoice =
  | { readonly by: 'itself' }
  | { readonly by: 'id'; readonly id: string }
  | { readonly by: 'name'; readonly name: string }

/** A line of a capture that may be select. */
export interface CaptureLine {
  /** Its own in the file: the path of a wire, the bit of a channel. */
  readonly id: string
  readonly label: string
}

export type CaptureProgress =
  /** What there is to read, and what is read; `null` where that has to be chosen. */
  | {
      readonly kind: 'lines'
      readonly lines: readonly CaptureLine[]
      readonly lineId: string | null
      readonly data: readonly PinLine[]
    }
  | { readonly kind: 'reading'; readonly bytesRead: number }
  /** All is read; reads and frames are looked for. */
  | { readonly kind: 'looking' }

/** What a line told: a title and what it stands on, or why it makes no title and what shows all the same. */
export interface Found {
  readonly title: Title | null
  /** Why there is no title; empty where there is one. */
  readonly fault: string
  readonly findings: readonly CaptureFinding[]
  readonly read: OneRead | null
}

export type CaptureAnswer =
  | { readonly kind: 'found'; readonly line: string; readonly found: Found }
  /** The line has to be chosen; the sentence says why. */
  | { readonly kind: 'choose'; readonly sentence: string }
  | ({ readonly kind: 'refused' } & CaptureFault)

export interface CaptureFault {
  /** A line of the file or an entry of the zip; empty where it is the whole. */
  readonly place: string
  /** One sentence or two. */
  readonly message: string
}

interface Line extends CaptureLine, Listed {}

/** A line that was read, under the name that the file gives it. */
interface Read extends LineSpan {
  readonly label: string
}

/** A capture of either kind, opened. */
interface Opened {
  readonly lines: readonly Line[]
  /** A dump says where its header ends what is wrong with a name, so there every name is found. */
  find(name: string): Result<Line, string>
  /** @param along lines that are read at the same time */
  read(
    line: Line,
    sink: ChangeSink,
    along: readonly Along[],
  ): AsyncGenerator<CaptureProgress, Result<Read, CaptureFault>>
}

interface Along {
  readonly line: Line
  readonly sink: ChangeSink
  /** It cannot be read, whatever its sink has got of it. */
  readonly fail: () => void
}

/** A line of a capture as it is, with nothing looked for in it. */
export interface ReadLine {
  readonly kind: 'line'
  readonly label: string
  readonly select: SelectLine
  /** The data lines next to it, of those that are named after their pins or that were said. */
  readonly data: readonly DataLine[]
}

/** Which lines are the data lines of which pins, by name or full path; the others go by their own names. */
export type PinNames = ReadonlyMap<Pin, string>

/** The data line of a pin, by its id in the file. */
export interface PinLine {
  readonly pin: Pin
  readonly lineId: string
}

/** Which lines are data lines: what names say, with those that were said; or these alone, whatever they are called. */
type DataChoice = PinNames | readonly PinLine[]

/**
 * Reads one line of a capture and finds a title in it. The bytes are read once. Throws only what their source throws.
 *
 * @param look is shown the line before a title is looked for in it
 * @yields which lines there are, then how far it has come; may be left at any of it
 */
export async function* readCapture(
  source: CaptureSource,
  choice: LineChoice,
  { look, pins = new Map() }: { readonly look?: (line: SelectLine) => void; readonly pins?: DataChoice } = {},
): AsyncGenerator<CaptureProgress, CaptureAnswer> {
  const line = yield* readLine(source, choice, pins)
  if (line.kind !== 'line') return line
  yield { kind: 'looking' }
  const { label, select, data } = line
  look?.(select)
  const measured = measurePad(select, data)
  const pad = padFindings(measured)
  const shown = padShown(measured)
  const file = (await source.identify?.()) ?? null
  const inferred = inferFromLine(select, {
    name: fileTitle(source.name),
    source: inferTexts.lineOfFile({ line: label, file: foreign(source.name) }),
    capture: file
      ? {
          ...file,
          name: nameFrom(source.name),
          ...(shown && { pad: shown }),
          ...(source.fromPowerOn && { fromPowerOn: true }),
        }
      : undefined,
    fromPowerOn: source.fromPowerOn ?? false,
  })
  const told = inferred.ok
    ? { title: inferred.value.title, fault: '', findings: [...inferred.value.findings, ...pad] }
    : {
        title: null,
        fault: faultSentence(inferred.error),
        findings: [...inferred.error.findings, ...pad],
      }
  return { kind: 'found', line: label, found: { ...told, read: oneRead(select) } }
}

/**
 * Reads one line of a capture, and no more. The bytes are read once. Throws only what their source throws.
 *
 * @param pins which data lines are read along with it; `null`: none
 * @yields as {@link readCapture} does
 */
export async function* readLine(
  { bytes, chunks }: Pick<CaptureSource, 'bytes' | 'chunks'>,
  choice: LineChoice,
  pins: DataChoice | null = null,
): AsyncGenerator<CaptureProgress, ReadLine | Exclude<CaptureAnswer, { readonly kind: 'found' }>> {
  const headed = new HeadedChunks(chunks)
  try {
    const opened = await open(headed, bytes)
    if (!opened.ok) return refused(opened.error)
    const { lines } = opened.value
    const line = lineOf(opened.value, choice)
    const listed = lines.map(({ id, label }) => ({ id, label }))
    const data = pins === null || !line.ok ? ok(new Map<Pin, Line>()) : dataOf(lines, line.value, pins)
    yield {
      kind: 'lines',
      lines: listed,
      lineId: line.ok ? line.value.id : null,
      data: data.ok ? [...data.value].map(([pin, { id }]) => ({ pin, lineId: id })) : [],
    }
    if (!line.ok) return { kind: 'choose', sentence: line.error }
    if (!data.ok) return refused({ place: '', message: data.error })

    const cleaner = new LineCleaner()
    const readers = [...data.value].map(([pin, line]) => ({ line, reader: new DataLineReader(pin) }))
    const along = readers.map(({ line, reader }) => ({ line, sink: reader.push, fail: reader.fail }))
    const read = yield* opened.value.read(line.value, cleaner.push, along)
    if (!read.ok) return refused(read.error)
    const select = cleaner.finish(read.value)
    return {
      kind: 'line',
      label: read.value.label,
      select,
      data: readers.flatMap(({ reader }) => reader.finish(read.value) ?? []),
    }
  } finally {
    await headed.leave()
  }
}

const isNamed = (pins: DataChoice): pins is PinNames => pins instanceof Map

/** The data lines that were said, and of the other pins those that go by their names. A fault is a sentence. */
function dataOf(lines: readonly Line[], select: Line, pins: DataChoice): Result<Map<Pin, Line>, string> {
  if (!isNamed(pins)) {
    const said = pins.flatMap(({ pin, lineId }): [Pin, Line][] => {
      const line = lines.find(({ id }) => id === lineId && id !== select.id)
      return line === undefined ? [] : [[pin, line]]
    })
    return ok(new Map(said))
  }
  const data = dataLinesOf(
    lines.filter(({ id }) => id !== select.id),
    select,
  )
  for (const [pin, name] of pins) {
    const line = findLine(lines, name)
    if (!line.ok) return line
    data.set(pin, line.value)
  }
  return ok(data)
}

const refused = (fault: CaptureFault): { readonly kind: 'refused' } & CaptureFault => ({
  kind: 'refused',
  ...fault,
})

function lineOf({ lines, find }: Opened, choice: LineChoice): Result<Line, string> {
  if (choice.by === 'name') return find(choice.name)
  const asked = choice.by === 'id' ? lines.find(({ id }) => id === choice.id) : undefined
  return asked === undefined ? chooseSelect(lines) : ok(asked)
}

async function open(chunks: HeadedChunks, bytes: number | null): Promise<Result<Opened, CaptureFault>> {
  return looksLikeZip(await chunks.begin(4)) ? openSession(chunks, bytes) : openDump(chunks)
}

/** A dump is read as a stream: as far as its header goes, and then whole. */
async function openDump(chunks: HeadedChunks): Promise<Result<Opened, CaptureFault>> {
  const lister = new WireLister()
  for await (const chunk of chunks.head()) if (!lister.push(chunk)) break
  const wires = lister.finish()
  if (!wires.ok) return err(inDump(wires.error))
  const lines = wires.value.map((wire) => ({ ...wire, id: wire.path, label: wire.path }))
  return ok({
    lines,
    find: (name) => ok({ id: name, label: name, name, path: name }),
    async *read({ path }, sink, along) {
      const reader = new VcdReader(sink, { signal: path })
      const others = along.map(({ line, sink, fail }) => ({
        reader: new VcdReader(sink, { signal: line.path }),
        fail,
      }))
      for await (const chunk of chunks.all()) {
        if (!reader.push(chunk)) break
        for (const other of others) other.reader.push(chunk)
        yield { kind: 'reading', bytesRead: chunks.bytesRead }
      }
      const span = reader.finish()
      for (const other of others) if (!other.reader.finish().ok) other.fail()
      return span.ok ? ok({ ...span.value, label: span.value.signalPath }) : err(inDump(span.error))
    },
  })
}

/** A session is a zip, whose directory stands at its end: it is held packed, and its samples are unpacked piece by piece. */
async function openSession(
  chunks: HeadedChunks,
  bytes: number | null,
): Promise<Result<Opened, CaptureFault>> {
  if ((bytes ?? 0) > MAX_SESSION_BYTES) return err(tooLarge())
  const packed: Uint8Array[] = []
  for await (const chunk of chunks.all()) {
    if (chunks.bytesRead > MAX_SESSION_BYTES) return err(tooLarge())
    packed.push(chunk.slice())
  }
  const session = Session.open(joined(packed))
  if (!session.ok) return err(inSession(session.error))
  const { channels } = session.value
  const channelOf = new Map(channels.map((channel) => [String(channel.bit), channel]))
  const lines = channels.map(({ name, bit }): Line => {
    const isOne = channels.filter((other) => other.name === name).length === 1
    const label = isOne ? name : t.channel({ name, number: bit + 1 })
    return { id: String(bit), label, name, path: label }
  })
  return ok({
    lines,
    find: (name) => findLine(lines, name),
    async *read({ id, label }, sink, along) {
      const channel = channelOf.get(id)
      if (channel === undefined) return err({ place: '', message: t.channelMissing })
      yield { kind: 'reading', bytesRead: chunks.bytesRead }
      const others = along.flatMap(({ line, sink }) => {
        const channel = channelOf.get(line.id)
        return channel === undefined ? [] : [{ channel, sink }]
      })
      const span = session.value.read(channel, sink, others)
      return span.ok ? ok({ ...span.value, label }) : err(inSession(span.error))
    },
  })
}

const tooLarge = (): CaptureFault => ({
  place: '',
  message: t.mostMib({ mib: MAX_SESSION_BYTES / 1024 / 1024 }),
})

const inDump = ({ line, message }: VcdFault): CaptureFault => ({
  place: documentTexts.atLine({ line }),
  message,
})
const inSession = ({ entry, message }: SessionFault): CaptureFault => ({ place: entry, message })
