import { bytesWord, crcWord, hexWord, releaseWord } from '../words/hexadecimal.ts'
import { rowWords } from '../words/lists.ts'
import { figure } from '../words/texts.ts'
import { descriptorText, descriptorWords, risesWord, secondsWord } from '../adapter/pad-history-words.ts'
import { outcomeTexts, viaTexts } from '../adapter/pad-history-texts.ts'
import type { LastActivity, PadRecord, ListedPad } from '../adapter/pad-history.ts'
import type { Adapter } from '../adapter/session.ts'
import { crc32 } from '../document/crc32.ts'
import { controlsIn } from '../pad/controls.ts'
import { inputsIn } from '../port/pins.ts'
import { BadInput, EXIT } from './fail.ts'
import { writeWhole } from './write.ts'
import { accessTo, adapterLine, labelled, orRefuse } from './adapter-access.ts'
import type { AdapterPlace } from './adapter-access.ts'
import { fileTexts } from './fault-texts.ts'
import { say, sayJson } from './output.ts'
import { adapterTexts as t } from './output-texts.ts'

export interface PadHistoryOptions extends AdapterPlace {
  /** The pad whose report descriptor is wanted, as the list counts them. With `out`, and only then. */
  readonly descriptor?: number
  readonly out?: string
  readonly seen?: true
  readonly forget?: true
  readonly json?: true
}

/** What is printed: a JSON value, or these lines behind the adapter's name. */
interface Output {
  readonly json: Readonly<Record<string, unknown>>
  readonly lines: readonly string[]
}

/** Tells what an adapter keeps of the pads it met as a host; saves a report descriptor; has it forget. */
export async function padHistory(options: PadHistoryOptions): Promise<number> {
  const way = await accessTo(options)
  const { identity, output } = await way.with(async (adapter) => ({
    identity: adapter.identity,
    output: await ask(adapter, options),
  }))
  const { board, serialNumber } = identity
  if (options.json) {
    sayJson({ adapter: { board, serialNumber }, ...output.json })
    return EXIT.fine
  }
  say([adapterLine(way, identity), ...output.lines].join('\n'))
  return EXIT.fine
}

async function ask(adapter: Adapter, { descriptor, out, seen, forget }: PadHistoryOptions): Promise<Output> {
  if (descriptor !== undefined && out !== undefined) return saveDescriptor(adapter, descriptor, out)
  if (seen) return lastActivityOutput(orRefuse(await adapter.lastActivity()))
  if (forget) {
    orRefuse(await adapter.forgetPads())
    return { json: { forgotten: true }, lines: [labelled(t.forgotten, t.isForgotten)] }
  }
  return padsOutput(orRefuse(await adapter.padHistory()))
}

const padWords = (pad: PadRecord): string =>
  t.padNumbers({
    vendor: hexWord(pad.vendorId, 4),
    product: hexWord(pad.productId, 4),
    release: releaseWord(pad.release),
    via: viaTexts[pad.via],
  })

const padJson = (pad: PadRecord) => ({
  via: pad.via,
  outcome: pad.outcome,
  vendorId: pad.vendorId,
  productId: pad.productId,
  release: releaseWord(pad.release),
  descriptorCrc32: crcWord(pad.descriptorCrc32),
})

function padsOutput(pads: readonly ListedPad[]): Output {
  const json = {
    pads: pads.map((pad, k) => ({ number: k + 1, ...padJson(pad), descriptorBytes: pad.descriptorBytes })),
  }
  if (pads.length === 0) return { json, lines: [labelled(t.met, t.noPad)] }
  const lines = pads.flatMap((pad, k) => {
    const descriptor = descriptorWords(pad)
    const crc = crcWord(pad.descriptorCrc32)
    return [
      labelled(String(k + 1), padWords(pad)),
      labelled('', outcomeTexts[pad.outcome]),
      labelled('', pad.descriptorBytes === 0 ? descriptor : t.descriptorCrc({ descriptor, crc })),
    ]
  })
  return { json, lines }
}

async function saveDescriptor(adapter: Adapter, number: number, out: string): Promise<Output> {
  const bytes = orRefuse(await adapter.storedDescriptor(number))
  if (bytes === null) throw new BadInput('--descriptor', '', fileTexts.noDescriptor({ number }))
  writeWhole(out, out.toLowerCase().endsWith('.hex') ? descriptorText(bytes) : bytes, [])
  const crc = crcWord(crc32(bytes))
  return {
    json: { number, bytes: bytes.length, crc32: crc, out },
    lines: [t.savedDescriptor({ file: out, number, bytes: bytes.length, crc })],
  }
}

function lastActivityOutput(activity: LastActivity | null): Output {
  if (activity === null)
    return {
      json: { seen: null },
      lines: [labelled(t.seen, t.nothingSeen)],
    }
  const { pad, there, takenMs, reportCount, readCount, mostRises, reports, reads } = activity
  const [held, pressed] = [controlsIn(activity.controls), inputsIn(activity.inputs)]
  const json = {
    seen: {
      pad: padJson(pad),
      there,
      takenMs,
      reportCount,
      readCount,
      mostRises,
      held,
      pressed,
      reports: reports.map(({ atMs, bytes }) => ({ atMs, bytes: bytesWord(bytes) })),
      reads,
    },
  }
  const list = (names: readonly string[]): string => rowWords(names) || t.nothing
  const row = (atMs: number, what: string) => `${secondsWord(atMs).padStart(23)}  ${what}`
  return {
    json,
    lines: [
      labelled(t.pad, padWords(pad)),
      labelled('', outcomeTexts[pad.outcome]),
      labelled(t.times, t.since({ there, time: secondsWord(takenMs) })),
      labelled(t.held, list(held)),
      labelled(t.pressed, list(pressed)),
      labelled(t.reports, reports.length > 0 ? t.lastReports({ n: reportCount }) : figure(reportCount)),
      ...reports.map(({ atMs, bytes }) => row(atMs, bytesWord(bytes) || t.noBytes)),
      labelled(
        t.reads,
        reads.length > 0 ? t.lastReads({ n: readCount, most: mostRises }) : figure(readCount),
      ),
      ...reads.map(({ atMs, rises }) => row(atMs, risesWord(rises))),
    ],
  }
}
