import { foreign } from '../words/foreign.ts'
import { basename, extname } from 'node:path'
import type { Result } from '../port/result.ts'
import { writeTitle } from '../title/file.ts'
import { chooseSelect, findLine } from '../title/infer/choose.ts'
import type { Finding } from '../title/infer/findings.ts'
import { inferFromLine } from '../title/infer/infer.ts'
import { LineCleaner } from '../title/infer/line.ts'
import { faultSentence, findingGrounds, findingLabel, findingWords } from '../title/infer/words.ts'
import { MAX_SESSION_BYTES, Session } from '../title/session/read.ts'
import type { SessionCapture, SessionFault } from '../title/session/read.ts'
import { looksLikeZip } from '../title/session/zip.ts'
import type { CaptureSpan, ChangeSink, VcdFault } from '../title/vcd/capture.ts'
import { WireLister } from '../title/vcd/list.ts'
import { VcdReader } from '../title/vcd/read.ts'
import { BadInput, EXIT } from './fail.ts'
import { chunksOf } from './files.ts'
import { writeWhole } from './write.ts'
import { complain, say, sayJson } from './output.ts'

export interface InferOptions {
  readonly signal?: string
  readonly out: string
  readonly json?: true
}

const NOTHING = new Uint8Array()

type Read = CaptureSpan & Partial<SessionCapture>

/** Reads a title's pattern out of the edges of a captured select line. */
export function infer(path: string, { signal, out, json }: InferOptions): number {
  const cleaner = new LineCleaner()
  const span = readCapture(path, signal, cleaner.push)
  const name = foreign(basename(path, extname(path)))
  const source = `${span.signalPath} in ${foreign(basename(path))}`
  const inferred = inferFromLine(cleaner.finish(span), { name, source })
  if (!inferred.ok) return refuse(path, faultSentence(inferred.error), inferred.error.findings, json)

  const { title, findings } = inferred.value
  writeWhole(out, writeTitle(title), [path])
  if (json) {
    const told = {
      capture: path,
      signal: span.signalPath,
      out,
      title: title.name,
      findings: findings.map(inWords),
    }
    sayJson(told)
  } else {
    say(`${out}: ${title.name}, from the edges of ${span.signalPath}.\n${table(findings)}`)
  }
  return EXIT.fine
}

/** Says why there is no title, after all that could be found. */
function refuse(
  path: string,
  complaint: string,
  findings: readonly Finding[],
  json: true | undefined,
): number {
  if (findings.length === 0) throw new BadInput(path, '', complaint)
  if (json) {
    const error = { subject: path, place: '', message: complaint }
    sayJson({ error, findings: findings.map(inWords) })
  } else {
    say(table(findings))
  }
  complain(new BadInput(path, '', complaint).message)
  return EXIT.badInput
}

const inWords = (finding: Finding) => ({ ...finding, words: findingWords(finding) })

const LABEL_WIDTH = 20

const table = (findings: readonly Finding[]): string =>
  findings
    .map(
      (finding) =>
        `  ${findingLabel(finding).padEnd(LABEL_WIDTH)}${findingWords(finding)} (${findingGrounds(finding)})`,
    )
    .join('\n')

function readCapture(path: string, signal: string | undefined, sink: ChangeSink): Read {
  const file = new OpenFile(path)
  return file.more() && looksLikeZip(file.head[0] ?? NOTHING)
    ? readSession(path, file.whole(MAX_SESSION_BYTES), signal, sink)
    : readDump(path, file, signal, sink)
}

function readSession(path: string, zip: Uint8Array, signal: string | undefined, sink: ChangeSink): Read {
  const session = inSession(path, Session.open(zip))
  const lines = session.channels.map((channel) => ({ ...channel, path: channel.name }))
  const line = inCapture(path, signal === undefined ? chooseSelect(lines) : findLine(lines, signal))
  return inSession(path, session.read(line, sink))
}

function readDump(path: string, file: OpenFile, signal: string | undefined, sink: ChangeSink): Read {
  const reader = new VcdReader(sink, { signal: signal ?? selectIn(path, file) })
  for (const chunk of file.all()) if (!reader.push(chunk)) break
  return inDump(path, reader.finish())
}

function selectIn(path: string, file: OpenFile): string {
  const lister = new WireLister()
  let more = true
  for (let at = 0; more && (at < file.head.length || file.more()); at++)
    more = lister.push(file.head[at] ?? NOTHING)
  return inCapture(path, chooseSelect(inDump(path, lister.finish()))).path
}

/** A file that is read once, so that it may be a pipe, and of which the beginning is looked at first. */
class OpenFile {
  /** What was looked at. */
  readonly head: Uint8Array[] = []
  readonly #path: string
  readonly #chunks: Generator<Uint8Array, void>

  constructor(path: string) {
    this.#path = path
    this.#chunks = chunksOf(path)
  }

  /** Adds a chunk to the head; false says that there is none. */
  more(): boolean {
    const { value } = this.#chunks.next()
    if (value) this.head.push(value.slice())
    return value !== undefined
  }

  /** All chunks; each holds only until the next. */
  *all(): Generator<Uint8Array, void> {
    yield* this.head
    yield* this.#chunks
  }

  whole(maxBytes: number): Uint8Array {
    let size = 0
    for (const chunk of this.head) size += chunk.length
    while (this.more()) {
      size += this.head.at(-1)?.length ?? 0
      if (size > maxBytes)
        throw new BadInput(this.#path, '', `the file is too large; ${maxBytes} bytes at most are read`)
    }
    const bytes = new Uint8Array(size)
    let at = 0
    for (const chunk of this.head.splice(0)) {
      bytes.set(chunk, at)
      at += chunk.length
    }
    return bytes
  }
}

function inSession<T>(path: string, result: Result<T, SessionFault>): T {
  if (result.ok) return result.value
  throw new BadInput(path, result.error.entry, result.error.message)
}

function inDump<T>(path: string, result: Result<T, VcdFault>): T {
  if (result.ok) return result.value
  throw new BadInput(path, `line ${result.error.line}`, result.error.message)
}

function inCapture<T>(path: string, result: Result<T, string>): T {
  if (result.ok) return result.value
  throw new BadInput(path, '', `${result.error} Say which with --signal.`)
}
