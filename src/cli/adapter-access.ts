import { identify } from '../adapter/session.ts'
import type { Adapter } from '../adapter/session.ts'
import type { Trouble } from '../adapter/troubles.ts'
import type { Result } from '../port/result.ts'
import { AdapterRefused } from './fail.ts'
import { adapterTexts as t } from './output-texts.ts'
import { sentenceAtTerminal } from './trouble-words.ts'

/** Where an adapter is, as the command line names it. */
export interface AdapterPlace {
  /** Path of a serial port; without it the adapter is the emulated one. */
  readonly port?: string
}

/**
 * A way to an adapter: opens it, has a job done with it, closes it whatever became of the job, and lets time pass where the
 * adapter's time is not that of the wall.
 *
 * @throws AdapterRefused where there is no adapter
 */
export interface AdapterAccess {
  /** Nothing that is done this way reaches a real adapter. */
  readonly isEmulated: boolean
  with<T>(job: (adapter: Adapter) => Promise<T>): Promise<T>
}

/** @throws BadInput where the place cannot be one of an adapter */
export const accessTo = ({ port }: AdapterPlace): Promise<AdapterAccess> =>
  port === undefined ? chip() : serial(port)

export const orRefuse = <T>(result: Result<T, Trouble>): T => {
  if (result.ok) return result.value
  throw new AdapterRefused(sentenceAtTerminal(result.error))
}

async function doing<T>(
  adapter: Result<Adapter, Trouble>,
  job: (adapter: Adapter) => Promise<T>,
): Promise<T> {
  const open = orRefuse(adapter)
  try {
    return await job(open)
  } finally {
    await open.close()
  }
}

/** The emulator is large, and only this way needs it. */
async function chip(): Promise<AdapterAccess> {
  const { emulatedAdapter } = await import('./emulated-adapter.ts')
  return {
    isEmulated: true,
    with: (job) => emulatedAdapter(async (adapter) => doing(await adapter, job)),
  }
}

/** Opened at once, so that a wrong path is told before anything else happens. */
async function serial(path: string): Promise<AdapterAccess> {
  const { openSerialPort } = await import('./serial-port.ts')
  const connection = orRefuse(await openSerialPort(path))
  return {
    isEmulated: false,
    with: async (job) => doing(await identify(connection), job),
  }
}

/** An adapter by its name, as the first line of what is told of it. */
export const adapterLine = (
  { isEmulated }: AdapterAccess,
  { board, serialNumber: serial }: Pick<Adapter['identity'], 'board' | 'serialNumber'>,
): string => labelled(t.adapter, isEmulated ? t.emulated({ board, serial }) : t.real({ board, serial }))

const LABEL_WIDTH = 11

/** A line with its label in a column of its own. */
export const labelled = (label: string, text: string): string => label.padEnd(LABEL_WIDTH) + text
