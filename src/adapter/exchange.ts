import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import type { Clock } from './clock.ts'
import {
  ATTEMPTS,
  COMMIT_TIMEOUT_MS,
  IDENTIFY_ATTEMPTS,
  IDENTIFY_TIMEOUT_MS,
  PROTOCOL,
  REPLY_TIMEOUT_MS,
  ERROR_TYPE,
  INPUT_EVENT_TYPE,
  REPLY_BIT,
} from './constants.ts'
import { encodeFrame, Splitter } from './frame.ts'
import type { Frame } from './frame.ts'
import { encodeRequest, IDENTIFY } from './messages.ts'
import type { Request, RequestKind, RequestOf } from './messages.ts'
import { decodeError, decodeInputEvent, decodeMark, decodeReply } from './replies.ts'
import type { Identity, InputEvent, Replies } from './replies.ts'
import type { Connection } from './transport.ts'
import type { LinkTrouble } from './troubles.ts'

/** A device that has not said who it is. All that can be done is to ask, or to leave. */
export interface Stranger {
  /** Asks once. On any trouble the connection is closed before the answer is given. */
  identify(): Promise<Result<Exchange, LinkTrouble>>
}

/** Requests to an adapter that has identified itself, one at a time, in the order they were made. */
export interface Exchange {
  readonly identity: Identity
  /** Settles when the link is over: with the trouble that ended it, or `null` after our own close. */
  readonly ended: Promise<LinkTrouble | null>
  /**
   * Asks until an answer comes or the attempts are used up. A refusal by the device leaves the link open; silence, loss
   * and nonsense end it.
   */
  request<K extends Exclude<RequestKind, 'identify'>>(
    request: RequestOf<K>,
  ): Promise<Result<Replies[K], LinkTrouble>>
  onEvent(listener: (event: InputEvent) => void): () => void
  close(): Promise<void>
}

interface Patience {
  readonly attempts: number
  readonly timeoutMs: number
  /** A stranger may send anything; only an acquaintance's damaged frame is worth asking again at once. */
  readonly repeatsWhenDamaged: boolean
}

const FOR_STRANGERS: Patience = {
  attempts: IDENTIFY_ATTEMPTS,
  timeoutMs: IDENTIFY_TIMEOUT_MS,
  repeatsWhenDamaged: false,
}

/** Requests that erase or program flash memory. */
const ERASING: readonly RequestKind[] = ['commit', 'forget-pads', 'forget-trial']

const patienceFor = (kind: RequestKind): Patience => ({
  attempts: ATTEMPTS,
  timeoutMs: ERASING.includes(kind) ? COMMIT_TIMEOUT_MS : REPLY_TIMEOUT_MS,
  repeatsWhenDamaged: true,
})

type Outcome =
  { readonly kind: 'answer'; readonly frame: Frame } | { readonly kind: 'damaged' | 'timeout' | 'ended' }

/** Starts listening on a connection. */
export function meet(connection: Connection, clock: Clock): Stranger {
  const splitter = new Splitter()
  const listeners = new Set<(event: InputEvent) => void>()
  let sequence = 0
  let heardAnything = false
  let settle: ((outcome: Outcome) => void) | null = null
  let queue: Promise<unknown> = Promise.resolve()
  let end: { readonly why: LinkTrouble | null; readonly closing: Promise<void> } | null = null
  let tellEnded: (why: LinkTrouble | null) => void = () => undefined
  const ended = new Promise<LinkTrouble | null>((resolve) => (tellEnded = resolve))

  const finish = async (why: LinkTrouble | null): Promise<void> => {
    end ??= { why, closing: connection.close() }
    settle?.({ kind: 'ended' })
    await end.closing
    tellEnded(end.why)
  }

  /** Ends the link for a reason, closes it, and gives the reason that it really ended for. */
  const fail = async (why: LinkTrouble): Promise<{ readonly ok: false; readonly error: LinkTrouble }> => {
    await finish(why)
    return err(end?.why ?? { kind: 'closed' })
  }

  connection.listen({
    bytes(bytes) {
      if (end) return
      if (bytes.length > 0) heardAnything = true
      for (const found of splitter.push(bytes)) {
        if (!found.ok) settle?.({ kind: 'damaged' })
        else if (found.value.type === INPUT_EVENT_TYPE) tell(found.value)
        else settle?.({ kind: 'answer', frame: found.value })
      }
    },
    lost() {
      void finish({ kind: 'unplugged' })
    },
  })

  function tell(frame: Frame): void {
    const event = decodeInputEvent(frame.payload)
    if (event.ok) for (const listener of listeners) listener(event.value)
  }

  /** Sends once and waits for what matters: an answer to this very frame, damage if that counts, or the time-out. */
  function attempt(sent: Frame, patience: Patience): Promise<Outcome> {
    if (end) return Promise.resolve({ kind: 'ended' })
    return new Promise((resolve) => {
      const done = (outcome: Outcome) => {
        settle = null
        callOff()
        resolve(outcome)
      }
      const callOff = clock.after(patience.timeoutMs, () => done({ kind: 'timeout' }))
      settle = (outcome) => {
        if (outcome.kind === 'answer' && !answers(outcome.frame, sent)) return
        if (outcome.kind === 'damaged' && !patience.repeatsWhenDamaged) return
        done(outcome)
      }
      connection.send(encodeFrame(sent))
    })
  }

  async function ask(request: Request, patience: Patience): Promise<Result<Frame, LinkTrouble>> {
    const sent: Frame = { ...encodeRequest(request), sequence }
    sequence = (sequence + 1) & 0xff
    for (let left = patience.attempts; left > 0; left--) {
      const outcome = await attempt(sent, patience)
      if (outcome.kind === 'answer') return ok(outcome.frame)
      if (outcome.kind === 'ended') return fail({ kind: 'closed' })
    }
    return fail({ kind: 'stopped-answering' })
  }

  function inTurn<T>(work: () => Promise<T>): Promise<T> {
    const turn = queue.then(work)
    queue = turn.catch(() => undefined)
    return turn
  }

  const exchangeWith = (identity: Identity): Exchange => ({
    identity,
    ended,
    request<K extends RequestKind>(request: RequestOf<K>) {
      const asked: Request = request
      const kind = asked.kind as K
      return inTurn(async () => {
        const answer = await ask(asked, patienceFor(kind))
        if (!answer.ok) return answer
        const { type, payload } = answer.value
        if (type === ERROR_TYPE) {
          const error = decodeError(payload)
          if (!error.ok) return fail({ kind: 'nonsense', request: kind })
          const trouble: LinkTrouble = { kind: 'device-error', request: kind, error: error.value }
          // A device that has forgotten us has started anew; so must we.
          return error.value.name === 'identify first' ? fail(trouble) : err(trouble)
        }
        const reply = decodeReply(kind, payload)
        return reply.ok ? reply : fail({ kind: 'nonsense', request: kind })
      })
    },
    onEvent(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    close: () => finish(null),
  })

  return {
    identify: () =>
      inTurn(async () => {
        const answer = await ask(IDENTIFY, FOR_STRANGERS)
        if (!answer.ok) {
          if (answer.error.kind !== 'stopped-answering') return answer
          return err<LinkTrouble>({ kind: heardAnything ? 'not-ninepin' : 'silent' })
        }
        // A refusal carries no mark either.
        const { payload } = answer.value
        const protocol = decodeMark(payload)
        if (protocol === null) return fail({ kind: 'not-ninepin' })
        if (protocol.major > PROTOCOL.major) return fail({ kind: 'protocol-newer', ...protocol })
        if (protocol.major < PROTOCOL.major) return fail({ kind: 'protocol-older', ...protocol })
        const identity = decodeReply('identify', payload)
        return identity.ok
          ? ok(exchangeWith(identity.value))
          : fail({ kind: 'nonsense', request: 'identify' })
      }),
  }
}

function answers(frame: Frame, sent: Frame): boolean {
  if (frame.sequence !== sent.sequence) return false
  if (frame.type === ERROR_TYPE) return frame.payload[1] === sent.type
  return frame.type === (sent.type | REPLY_BIT)
}
