import { imageCrc } from '../profile/image-crc.ts'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import type { ControlMask } from '../pad/controls.ts'
import { realClock } from './clock.ts'
import type { Clock } from './clock.ts'
import { BANK_NUMBERS, HISTORY_MAX_DESCRIPTOR_BYTES } from './constants.ts'
import type { BankNumber } from './constants.ts'
import { decodeLastActivity } from './pad-history.ts'
import type { LastActivity, ListedPad } from './pad-history.ts'
import { meet } from './exchange.ts'
import type { Exchange } from './exchange.ts'
import { flashImage } from './flash.ts'
import type { Flashed, FlashProgress } from './flash.ts'
import { readStored, readWhole } from './read-whole.ts'
import type { Place } from './place.ts'
import type { BankContent, DeviceErrorName, Identity, InputEvent, TrialSlot } from './replies.ts'
import type { Connection, Transport } from './transport.ts'
import type { LinkTrouble, Trouble } from './troubles.ts'

/** What the banks hold, by the numbers that people use. */
interface AdapterStatus {
  readonly active: BankNumber | null
  readonly banks: readonly { readonly bank: BankNumber; readonly content: BankContent | null }[]
  /** `null` where the firmware is older and has none. */
  readonly trial: TrialSlot | null
}

type Answer<T> = Promise<Result<T, LinkTrouble>>

/**
 * An adapter that has identified itself; there is no other way to one, so nothing can be written to anything else.
 * Once the link is lost, silent or talks nonsense it is closed, and every method says why.
 */
export interface Adapter {
  readonly identity: Identity
  /** Settles when the link is over, after it was closed: with the trouble that ended it, or `null` after `close()`. */
  readonly ended: Promise<LinkTrouble | null>
  status(): Answer<AdapterStatus>
  /** The image in a bank, checked against its CRC; `null` when the bank is empty. */
  readBank(bank: BankNumber): Answer<Uint8Array | null>
  /** One flash at a time; another waits its turn. */
  flash(
    bank: BankNumber,
    image: Uint8Array,
    onProgress?: (progress: FlashProgress) => void,
    signal?: AbortSignal,
  ): Answer<Flashed<BankNumber>>
  /**
   * Puts an image into the trial slot, which arms it: it has the next session with a console, and no bank is touched. Like a flash
   * otherwise. Firmware without a trial slot gives `firmware-older`, here and in the two below.
   */
  armTrial(
    image: Uint8Array,
    onProgress?: (progress: FlashProgress) => void,
    signal?: AbortSignal,
  ): Answer<Flashed<'trial'>>
  /** The image in the trial slot, checked against its CRC; `null` when it is empty. */
  readTrial(): Answer<Uint8Array | null>
  /** Empties the trial slot. */
  forgetTrial(): Answer<null>
  setActive(bank: BankNumber): Answer<null>
  /** Reports what is pressed until the function it returns is called. */
  monitor(listener: (event: InputEvent) => void): Answer<() => Promise<void>>
  /** Holds controls beside those of the pad, until others are set or the link closes. */
  setControls(controls: ControlMask): Answer<null>
  /** Pads that it met as a host, the one that was written last first. Like the three below, `firmware-older` where it cannot know. */
  padHistory(): Answer<readonly ListedPad[]>
  /** Report descriptor of a pad in that list, counted from 1; `null` where none is kept. */
  storedDescriptor(number: number): Answer<Uint8Array | null>
  /** What the last pad and the console did last; `null` where no pad was seen. */
  lastActivity(): Answer<LastActivity | null>
  /** Forgets the pads and what was seen last. */
  forgetPads(): Answer<null>
  close(): Promise<void>
}

/** Asks a device who it is. On any trouble the connection is closed again before this returns. */
export async function identify(connection: Connection, clock: Clock = realClock): Answer<Adapter> {
  const exchange = await meet(connection, clock).identify()
  return exchange.ok ? ok(adapterOver(exchange.value)) : exchange
}

/** Opens a transport and asks who is there. */
export async function connect(
  transport: Transport,
  clock: Clock = realClock,
): Promise<Result<Adapter, Trouble>> {
  const connection = await transport.open()
  return connection.ok ? identify(connection.value, clock) : connection
}

/** What was seen last is shorter; a later version may append to it. */
const MOST_STORED_BYTES = 4096

/** What came to the link after its first version. */
const SINCE = {
  'pad history': { major: 1, minor: 1 },
  'trial slot': { major: 1, minor: 2 },
} as const

const refusedWith = (answer: Result<unknown, LinkTrouble>, name: DeviceErrorName): boolean =>
  !answer.ok && answer.error.kind === 'device-error' && answer.error.error.name === name

function adapterOver(exchange: Exchange): Adapter {
  let flashing: Promise<unknown> = Promise.resolve()
  let monitors = 0

  const status = async (): Answer<AdapterStatus> => {
    const reply = await exchange.request({ kind: 'status' })
    if (!reply.ok) return reply
    const { active, banks, trial } = reply.value
    return ok({
      active: active === null ? null : (BANK_NUMBERS[active] ?? null),
      banks: BANK_NUMBERS.map((bank, k) => ({ bank, content: banks[k] ?? null })),
      trial,
    })
  }

  /** Asks something that only firmware of a later version of the link knows. */
  const since = async <T>(lacks: keyof typeof SINCE, ask: () => Answer<T>): Answer<T> => {
    const needs = SINCE[lacks]
    const older = err<LinkTrouble>({ kind: 'firmware-older', lacks, needs })
    if (exchange.identity.protocol.minor < needs.minor) return older
    const answer = await ask()
    return refusedWith(answer, 'unknown message') ? older : answer
  }

  const storedOrNull = (which: number, most: number): Answer<Uint8Array | null> =>
    since<Uint8Array | null>('pad history', async () => {
      const whole = await readStored(exchange, which, most)
      return refusedWith(whole, 'nothing stored') ? ok(null) : whole
    })

  /** What is at a place, checked against what the adapter says of it. */
  const readPlace = async (place: Place): Answer<Uint8Array | null> => {
    const states = await status()
    if (!states.ok) return states
    const { banks, trial } = states.value
    const content = (place === 'trial' ? trial : banks[place - 1])?.content ?? null
    if (content === null) return ok(null)
    const image = await readWhole(exchange, place)
    if (!image.ok) return image
    const same = image.value.length === content.length && imageCrc(image.value) === content.crc32
    return same ? image : err({ kind: 'read-differs', place })
  }

  /** One at a time: what one caller's progress function throws is for that caller alone. */
  const inTurn = <P extends Place>(flash: () => Answer<Flashed<P>>): Answer<Flashed<P>> => {
    const run = flashing.then(flash)
    flashing = run.catch(() => undefined)
    return run
  }

  return {
    identity: exchange.identity,
    ended: exchange.ended,
    status,
    readBank: readPlace,
    flash: (bank, image, onProgress = () => undefined, signal) =>
      inTurn(() => flashImage(exchange, bank, image, onProgress, signal)),
    armTrial: (image, onProgress = () => undefined, signal) =>
      since('trial slot', () => inTurn(() => flashImage(exchange, 'trial', image, onProgress, signal))),
    readTrial: () => since('trial slot', () => readPlace('trial')),
    forgetTrial: () => since('trial slot', () => exchange.request({ kind: 'forget-trial' })),
    setActive: (bank) => exchange.request({ kind: 'select-bank', bank: bank - 1 }),
    async monitor(listener) {
      const forget = exchange.onEvent(listener)
      monitors++
      let stopped = false
      const stop = async () => {
        if (stopped) return
        stopped = true
        forget()
        monitors--
        if (monitors === 0) await exchange.request({ kind: 'monitor', on: false })
      }
      const reply = await exchange.request({ kind: 'monitor', on: true })
      if (reply.ok) return ok(stop)
      stopped = true
      forget()
      monitors--
      return reply
    },
    setControls: (controls) => exchange.request({ kind: 'set-controls', controls }),
    padHistory: () => since('pad history', () => exchange.request({ kind: 'pad-history' })),
    storedDescriptor: (number) => storedOrNull(number, HISTORY_MAX_DESCRIPTOR_BYTES),
    async lastActivity() {
      const bytes = await storedOrNull(0, MOST_STORED_BYTES)
      if (!bytes.ok) return bytes
      if (bytes.value === null) return ok(null)
      const seen = decodeLastActivity(bytes.value)
      return seen.ok ? seen : err({ kind: 'stored-differs' })
    },
    forgetPads: () => since('pad history', () => exchange.request({ kind: 'forget-pads' })),
    close: () => exchange.close(),
  }
}
