import firmwareUrl from '../../static/firmware/ninepin.bin?url&inline'
import { Chip } from '../adapter/emulator/chip.ts'
import { chipClock, runUntilSettled } from '../adapter/emulator/run.ts'
import { chipTransport } from '../adapter/emulator/transport.ts'
import { connect } from '../adapter/session.ts'

type Connected = ReturnType<typeof connect>

/** The firmware travels inside the bundle: dist/cli can be copied anywhere, and never meets one of another version. */
async function firmware(): Promise<Uint8Array> {
  const answer = await fetch(firmwareUrl)
  return new Uint8Array(await answer.arrayBuffer())
}

/**
 * Has something done with a new adapter that runs the real firmware on an emulated chip, its banks empty. The chip's time
 * passes as fast as this machine can.
 */
export async function emulatedAdapter<T>(job: (adapter: Connected) => Promise<T>): Promise<T> {
  const chip = new Chip({ flash: await firmware() })
  return runUntilSettled(chip, job(connect(chipTransport(chip), chipClock(chip))))
}
