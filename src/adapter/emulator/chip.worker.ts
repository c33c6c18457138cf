import { FLASH_MAP } from '../flash-map.ts'
import { BANKS_END } from '../flash-places.ts'
import type { Connection } from '../transport.ts'
import { Chip } from './chip.ts'
import { measure } from './measure.ts'
import { runInRealTime } from './run-real-time.ts'
import { chipTransport } from './transport.ts'
import type { FromChip, ToChip } from './worker-messages.ts'

/** The worker that the demo adapter lives in: one chip, in real time, with a serial port that messages go through. */

const tell = (message: FromChip) => postMessage(message)

let chip: Chip | null = null
let connection: Connection | null = null
let operationsKept = 0

addEventListener('message', ({ data }: MessageEvent<ToChip>) => {
  switch (data.kind) {
    case 'power':
      return power(data.firmware, data.banks)
    case 'open':
      return void open()
    case 'send':
      return connection?.send(data.bytes)
    case 'close':
      void connection?.close()
      connection = null
      return
    case 'measure':
      if (chip !== null) tell({ kind: 'measured', measured: measure(chip, data.stimulus) })
  }
})

function power(firmware: Uint8Array, banks: Uint8Array): void {
  const flash = new Uint8Array(FLASH_MAP.bytes).fill(0xff)
  flash.set(firmware, FLASH_MAP.firmwareAt)
  flash.set(banks, FLASH_MAP.banksAt)
  const powered = new Chip({ flash })
  chip = powered
  runInRealTime(
    () => powered,
    (error) => tell({ kind: 'trapped', message: error instanceof Error ? error.message : String(error) }),
  )
  // A bank can change without a word to the computer: by a chord on the pad.
  setInterval(() => keepBanks(powered), 250)
}

/** Hands the banks out when the flash has come to rest after a change. */
function keepBanks({ flash }: Chip): void {
  if (flash.busy || flash.operations.length === operationsKept) return
  operationsKept = flash.operations.length
  tell({ kind: 'banks', bytes: flash.bytes.slice(FLASH_MAP.banksAt, BANKS_END) })
}

async function open(): Promise<void> {
  if (chip === null) return tell({ kind: 'refused', trouble: { kind: 'unplugged-while-opening' } })
  const opened = await chipTransport(chip).open()
  if (!opened.ok) return tell({ kind: 'refused', trouble: opened.error })
  connection = opened.value
  connection.listen({
    // What a reply says is done is handed out before the reply.
    bytes: (bytes) => {
      if (chip !== null) keepBanks(chip)
      tell({ kind: 'bytes', bytes })
    },
    lost: () => tell({ kind: 'lost' }),
  })
  tell({ kind: 'opened' })
}
