import { bytesWord, crcWord, hexWord, releaseWord } from '../words/hexadecimal.ts'
import type { LastSeen, MetPad, PadMet } from '../adapter/kept.ts'
import type { Adapter } from '../adapter/session.ts'
import { crc32 } from '../document/crc32.ts'
import { controlsIn } from '../pad/controls.ts'
import { inputsIn } from '../port/pins.ts'
import { BadInput, EXIT } from './fail.ts'
import { writeWhole } from './write.ts'
import { orRefuse, wayTo } from './ways.ts'
import type { Place } from './ways.ts'
import { say, sayJson } from './output.ts'

export interface MetOptions extends Place {
  /** The pad whose report descriptor is wanted, as the list counts them. With `out`, and only then. */
  readonly descriptor?: number
  readonly out?: string
  readonly seen?: true
  readonly forget?: true
  readonly json?: true
}

/** What is printed: a JSON value, or these lines behind the adapter's name. */
interface Told {
  readonly json: Readonly<Record<string, unknown>>
  readonly lines: readonly string[]
}

/** Tells what an adapter keeps of the pads it met as a host; saves a report descriptor; has it forget. */
export async function met(options: MetOptions): Promise<number> {
  const way = await wayTo(options)
  const { identity, told } = await way.with(async (adapter) => ({
    identity: adapter.identity,
    told: await ask(adapter, options),
  }))
  const { board, serialNumber } = identity
  if (options.json) {
    sayJson({ adapter: { board, serialNumber }, ...told.json })
    return EXIT.fine
  }
  const caution = way.caution && ` (${way.caution})`
  say([`adapter    ${board}, ${serialNumber}${caution}`, ...told.lines].join('\n'))
  return EXIT.fine
}

async function ask(adapter: Adapter, { descriptor, out, seen, forget }: MetOptions): Promise<Told> {
  if (descriptor !== undefined && out !== undefined) return saveDescriptor(adapter, descriptor, out)
  if (seen) return tellSeen(orRefuse(await adapter.lastSeen()))
  if (forget) {
    orRefuse(await adapter.forgetPads())
    return { json: { forgotten: true }, lines: ['forgotten  the pads that it met, and what it saw last'] }
  }
  return tellPads(orRefuse(await adapter.padsMet()))
}

const VIAS: Readonly<Record<MetPad['via'], string>> = {
  hid: 'HID',
  vendor: 'vendor class',
  unlisted: 'by an interface that this program does not know; update Ninepin',
}

const OUTCOMES: Readonly<Record<MetPad['outcome'], string>> = {
  served: 'served',
  'no layout': 'no layout for it in the active bank; learn it and flash the bank again',
  hub: 'refused: a hub; plug the pad in without it',
  keyboard: 'refused: a keyboard and nothing else; plug a pad in',
  'no pad': 'refused: neither pad nor joystick; plug a pad in',
  failed: 'failed to come up; try another cable, or a pad that draws less current',
  unlisted: 'something that this program does not know; update Ninepin',
}

const padWords = (pad: MetPad): string =>
  `vendor ${hexWord(pad.vendorId, 4)}, product ${hexWord(pad.productId, 4)}, release ${releaseWord(pad.release)}, ${VIAS[pad.via]}`

const padJson = (pad: MetPad) => ({
  via: pad.via,
  outcome: pad.outcome,
  vendorId: pad.vendorId,
  productId: pad.productId,
  release: releaseWord(pad.release),
  descriptorCrc32: crcWord(pad.descriptorCrc32),
})

function tellPads(pads: readonly PadMet[]): Told {
  const json = {
    pads: pads.map((pad, k) => ({ number: k + 1, ...padJson(pad), descriptorBytes: pad.descriptorBytes })),
  }
  if (pads.length === 0)
    return { json, lines: ['met        no pad yet; plug one into it, with the console on, and come back'] }
  const lines = pads.flatMap((pad, k) => {
    const kept = pad.descriptorBytes
    const descriptor = kept === 0 ? 'none kept' : `${kept} bytes, CRC ${crcWord(pad.descriptorCrc32)}`
    return [
      `${k + 1}          ${padWords(pad)}`,
      `           ${OUTCOMES[pad.outcome]}`,
      `           report descriptor: ${descriptor}`,
    ]
  })
  return { json, lines }
}

async function saveDescriptor(adapter: Adapter, number: number, out: string): Promise<Told> {
  const bytes = orRefuse(await adapter.keptDescriptor(number))
  if (bytes === null)
    throw new BadInput(
      '--descriptor',
      '',
      `the adapter keeps none for pad ${number}; without it met lists the pads`,
    )
  writeWhole(out, out.toLowerCase().endsWith('.hex') ? hexText(bytes) : bytes, [])
  const crc = crcWord(crc32(bytes))
  return {
    json: { number, bytes: bytes.length, crc32: crc, out },
    lines: [`${out}: report descriptor of pad ${number}, ${bytes.length} bytes, CRC ${crc}.`],
  }
}

function hexText(bytes: Uint8Array): string {
  const ROW = 16
  const rows = Array.from({ length: Math.ceil(bytes.length / ROW) }, (_, k) =>
    bytesWord(bytes.subarray(ROW * k, ROW * (k + 1))),
  )
  return `${rows.join('\n')}\n`
}

const seconds = (ms: number): string => `${(ms / 1000).toFixed(3)} s`

function tellSeen(seen: LastSeen | null): Told {
  if (seen === null)
    return {
      json: { seen: null },
      lines: ['seen       nothing yet; plug a pad into it, with the console on, and come back'],
    }
  const { pad, there, takenMs, reportCount, readCount, mostRises, reports, reads } = seen
  const [held, pressed] = [controlsIn(seen.controls), inputsIn(seen.inputs)]
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
  const list = (names: readonly string[]): string => names.join(', ') || 'nothing'
  const row = (atMs: number, what: string) => `${seconds(atMs).padStart(23)}  ${what}`
  return {
    json,
    lines: [
      `pad        ${padWords(pad)}`,
      `           ${OUTCOMES[pad.outcome]}`,
      `times      from when it was plugged in; ${there ? 'written down' : 'it went'} at ${seconds(takenMs)}`,
      `held       ${list(held)}`,
      `pressed    ${list(pressed)}`,
      `reports    ${reportCount}${reports.length > 0 ? '; the last that differed from the one before:' : ''}`,
      ...reports.map(({ atMs, bytes }) => row(atMs, bytesWord(bytes) || 'no bytes')),
      `reads      ${readCount}${reads.length > 0 ? `, of ${mostRises} rises at most; the last:` : ''}`,
      ...reads.map(({ atMs, rises }) => row(atMs, `${rises} ${rises === 1 ? 'rise' : 'rises'}`)),
    ],
  }
}
