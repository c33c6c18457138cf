import { expect, test } from 'vitest'
import { EVENT_BYTES, INPUT_EVENT_TYPE } from '../../src/adapter/constants.ts'
import { meet } from '../../src/adapter/exchange.ts'
import type { Exchange } from '../../src/adapter/exchange.ts'
import { encodeFrame } from '../../src/adapter/frame.ts'
import type { InputEvent } from '../../src/adapter/replies.ts'
import { encodeInputEvent } from '../reference/adapter/link-device-codec.ts'
import { BenchLink } from './bench-link.ts'
import type { BenchConnection } from './bench-link.ts'
import { FakeClock } from './fake-clock.ts'

/** An exchange with a device on a bench, once it has identified itself. */
async function acquainted() {
  const bench = new BenchLink()
  const connection = bench.open()
  const clock = new FakeClock()
  const identified = await clock.until(meet(connection, clock).identify())
  if (!identified.ok) throw new Error(identified.error.kind)
  const heard: InputEvent[] = []
  identified.value.onEvent((event) => heard.push(event))
  return { bench, connection, clock, exchange: identified.value, heard }
}

const EVENT: InputEvent = { controls: 1, inputs: 1, rises: 4, select: 'high' }
const deliver = async (connection: BenchConnection, payload: Uint8Array) => {
  connection.deliver(encodeFrame({ type: INPUT_EVENT_TYPE, sequence: 0, payload }))
  await new Promise<void>((resolve) => setImmediate(resolve))
}

test('an input event is told to who listens, and one that cannot be read to nobody', async () => {
  const { connection, heard } = await acquainted()
  await deliver(connection, new Uint8Array(EVENT_BYTES).fill(0xff))
  expect(heard).toEqual([])
  await deliver(connection, encodeInputEvent(EVENT))
  expect(heard).toEqual([EVENT])
})

test('what comes after the end of the link is told to nobody', async () => {
  const { connection, exchange, heard } = await acquainted()
  await exchange.close()
  await deliver(connection, encodeInputEvent(EVENT))
  expect(heard).toEqual([])
})

type End = (connection: BenchConnection, exchange: Exchange) => void
const ENDS: readonly (readonly [string, string, End])[] = [
  ['an unplugged cable', 'unplugged', (connection) => connection.unplug()],
  ['our own close', 'closed', (_, exchange) => void exchange.close()],
]
test.each(ENDS)('%s ends a request that waits, in that very instant', async (_, kind, end) => {
  const { bench, connection, clock, exchange } = await acquainted()
  bench.toDevice = () => []
  const fromMs = clock.nowMs
  const asked = exchange.request({ kind: 'status' })
  await new Promise<void>((resolve) => setImmediate(resolve))
  end(connection, exchange)
  expect(await clock.until(asked)).toEqual({ ok: false, error: { kind } })
  expect([clock.nowMs - fromMs, clock.waiting]).toEqual([0, 0])
})

test('the link is over only once the connection is closed', async () => {
  const { connection, exchange } = await acquainted()
  let release = () => {}
  connection.close = () => new Promise<void>((resolve) => (release = resolve))
  let isOver = false
  void exchange.ended.then(() => (isOver = true))
  const closing = exchange.close()
  await new Promise<void>((resolve) => setImmediate(resolve))
  expect(isOver).toBe(false)
  release()
  await closing
  expect([await exchange.ended, isOver]).toEqual([null, true])
})
