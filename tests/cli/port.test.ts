import { spawnSync } from 'node:child_process'
import { chmodSync, mkdirSync, realpathSync, writeFileSync } from 'node:fs'
import { dirname } from 'node:path'
import { afterEach, describe, expect, it } from 'vitest'
import { Chip } from '../../src/adapter/emulator/chip.ts'
import { runInRealTime } from '../../src/adapter/emulator/run-real-time.ts'
import { chipClock, runUntilSettled } from '../../src/adapter/emulator/run.ts'
import { chipTransport } from '../../src/adapter/emulator/transport.ts'
import { Splitter, encodeFrame } from '../../src/adapter/frame.ts'
import { IDENTIFY, encodeRequest } from '../../src/adapter/messages.ts'
import { connect } from '../../src/adapter/session.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { imageCrc } from '../../src/profile/image-crc.ts'
import { crcWord } from '../../src/words/hexadecimal.ts'
import { flashWith } from '../adapter/firmware/rig.ts'
import { describeWith } from '../tools.ts'
import { pseudoTerminal } from './pseudo-terminal.ts'
import type { PseudoTerminal } from './pseudo-terminal.ts'
import { builtCli } from './run-cli.ts'

const cli = builtCli()
const image = encodeImage(BUILT_IN_PROFILES['six-button'])
const three = encodeImage(BUILT_IN_PROFILES['three-button'])
const IDENTIFY_FRAME = Buffer.from(encodeFrame({ ...encodeRequest(IDENTIFY), sequence: 0 }))
const WRITE_TYPE = 0x03
const COMMIT_TYPE = 0x04

let ends: (() => void)[] = []
afterEach(() => {
  for (const end of ends) end()
  ends = []
})

let made = 0
async function line(device?: (line: PseudoTerminal, bytes: Buffer) => void): Promise<PseudoTerminal> {
  const to = await pseudoTerminal(cli.path(`port${++made}`), device)
  ends.push(to.unplug)
  return to
}

/**
 * The firmware on an emulated chip, three buttons in bank 1, in the wall's time at the other end of a line.
 *
 * @param flash what the chip has in its flash
 * @param unplug takes the cable out so long after a request of that type has come; the adapter loses its power with it
 */
async function adapter(
  unplug?: { readonly type: number; readonly afterNs: number },
  flash = flashWith([three]),
) {
  const chip = new Chip({ flash })
  const connection = await runUntilSettled(chip, chipTransport(chip).open())
  if (!connection.ok) throw new Error(connection.error.kind)
  const splitter = new Splitter()
  const to = await line((_, bytes) => {
    connection.value.send(bytes)
    for (const frame of splitter.push(bytes)) {
      if (unplug === undefined || !frame.ok || frame.value.type !== unplug.type) continue
      chip.at(chip.nowNs + unplug.afterNs, () => {
        chip.powerOff()
        to.unplug()
      })
    }
  })
  connection.value.listen({ bytes: to.say, lost: to.unplug })
  const failures: unknown[] = []
  const { stop } = runInRealTime(
    () => chip,
    (failure) => failures.push(failure),
  )
  ends.push(stop)
  return { chip, path: to.path, failures }
}

const flashAt = (path: string, bank: number, ...more: string[]) =>
  cli.start('flash', 'six-button', '--bank', String(bank), '--port', path, ...more)

/** What the chip has in bank 1 when power comes back. */
async function afterwards(before: Chip): Promise<Uint8Array | null> {
  const chip = before.powerCycle()
  const found = await runUntilSettled(chip, connect(chipTransport(chip), chipClock(chip)))
  if (!found.ok) throw new Error(found.error.kind)
  const content = await runUntilSettled(chip, found.value.readBank(1))
  if (!content.ok) throw new Error(content.error.kind)
  return content.value
}

describeWith('flash --port, over a pseudo-terminal to an emulated chip', ['socat'], () => {
  it('writes, reads back and compares, and the image is in the chip’s flash', async () => {
    const { chip, path, failures } = await adapter()
    const { code, out, err } = await flashAt(path, 1)
    expect({ code, err, failures }).toEqual({ code: 0, err: '', failures: [] })
    const [who, was, ...rest] = out.trimEnd().split('\n')
    expect(who).toMatch(/^adapter {4}Ninepin board, [0-9A-F]{16}$/)
    expect(was).toMatch(new RegExp(`^was there {2}bank 1: ${three.length} bytes, CRC [0-9A-F]{8}$`))
    expect(rest[2]).toBe(`verified   ${image.length} bytes: every byte matches`)
    expect(chip.usb.faults).toEqual([])
    expect(await afterwards(chip)).toEqual(image)
  })

  it('shows the name of a hostile adapter without what could command the terminal', async () => {
    const flash = flashWith([three])
    const at = Buffer.from(flash).indexOf('Ninepin board\0')
    flash.set(new TextEncoder().encode('N\u001b[2J\r\n\u202e\u009bm'), at)
    const { path } = await adapter(undefined, flash)
    const words = await cli.start('met', '--port', path)
    expect(words.out).toMatch(/^adapter {4}N\?\[2J\?\?\?\?m, [0-9A-F]{16}\nmet /)
    const json = await cli.start('met', '--port', (await adapter(undefined, flash)).path, '--json')
    expect(JSON.parse(json.out)).toMatchObject({ adapter: { board: 'N?[2J????m' } })
  })

  it('prints JSON of the same shape as the emulated chip, and what was there', async () => {
    const { path } = await adapter()
    const { code, out } = await flashAt(path, 1, '--json')
    expect(code).toBe(0)
    const emulated = cli.json('flash', 'six-button', '--bank', '1', '--emulated') as object
    const before = { bytes: three.length, crc32: crcWord(imageCrc(three)), pads: [] }
    expect(JSON.parse(out)).toEqual({ ...emulated, before })
  })

  it.each([
    ['while the image is sent', { type: WRITE_TYPE, afterNs: 0 }, [three]],
    ['while it is being committed', { type: COMMIT_TYPE, afterNs: 20e6 }, [three, image]],
  ])(
    'unplugged %s it exits 1, says so, and the bank holds the old or the new',
    async (_, unplug, contents) => {
      const { chip, path, failures } = await adapter(unplug)
      expect(await flashAt(path, 1)).toEqual({
        code: 1,
        out: '',
        err: 'ninepin: The adapter was unplugged, or lost its power. An unfinished bank keeps its old content. Plug it in again and run this again.\n',
      })
      expect(failures).toEqual([])
      expect(chip.state).toBe('off')
      expect(contents).toContainEqual(await afterwards(chip))
    },
  )

  it('writes nothing but the identify frame to a port where nothing answers', async () => {
    const to = await line()
    expect(await flashAt(to.path, 1)).toEqual({
      code: 1,
      out: '',
      err: 'ninepin: Nothing answered. Nothing was written. If this is your adapter, unplug it, plug it in again and run this again; otherwise give another port.\n',
    })
    // LINK.md section 2: three sendings.
    expect(await to.everything()).toEqual(Buffer.concat([IDENTIFY_FRAME, IDENTIFY_FRAME, IDENTIFY_FRAME]))
  })

  it.each<[string, (line: PseudoTerminal, bytes: Buffer) => void]>([
    ['prompts', (to) => to.say('\r\nlamp-room login: ')],
    ['sends back what it gets', (to, bytes) => to.say(bytes)],
    ['answers with another mark', (to) => to.say(strangersAnswer())],
  ])('writes nothing but the identify frame to something that %s', async (_, device) => {
    const to = await line(device)
    expect(await flashAt(to.path, 1)).toEqual({
      code: 1,
      out: '',
      err: 'ninepin: Something answered, but not as a Ninepin adapter does. Nothing was written to it. Give another port; if this is your adapter, unplug it and plug it in again first.\n',
    })
    const written = await to.everything()
    const sendings = written.length / IDENTIFY_FRAME.length
    expect([1, 2, 3]).toContain(sendings)
    expect(written).toEqual(Buffer.concat(Array.from({ length: sendings }, () => IDENTIFY_FRAME)))
  })

  it('leaves a port alone that another program holds', async () => {
    const to = await line()
    const { SerialPort } = await import('serialport')
    const other = new SerialPort({ path: to.path, baudRate: 115_200 })
    await new Promise((resolve) => other.once('open', resolve))
    expect(await flashAt(to.path, 1, '--json')).toMatchObject({
      code: 1,
      err: expect.stringMatching(/^ninepin: Another program holds the adapter\. Close it/) as unknown,
    })
    expect(to.received.length).toBe(0)
    await new Promise<void>((resolve) => other.close(() => resolve()))
  })

  // The superuser may open everything, so the program is run as somebody else then.
  const somebody = process.getuid?.() === 0 ? { uid: 65_534, gid: 65_534 } : {}
  const canRun =
    spawnSync(process.execPath, ['--print', "require.resolve('serialport')"], somebody).status === 0

  it.skipIf(!canRun)('tells whoever may not use it what group to join', async () => {
    const to = await line()
    chmodSync(dirname(cli.folder), 0o755)
    chmodSync(cli.folder, 0o755)
    chmodSync(realpathSync(to.path), 0)
    const args = [cli.program, 'flash', 'six-button', '--bank', '1', '--port', to.path]
    expect(spawnSync(process.execPath, args, { ...somebody, encoding: 'utf8' })).toMatchObject({
      status: 1,
      stdout: '',
      stderr: expect.stringMatching(
        /^ninepin: The system does not let this account use the port\. .*group that owns the device .*usermod -aG dialout/,
      ) as unknown,
    })
    expect(to.received).toHaveLength(0)
  })
})

describe('a path without a serial port', () => {
  /** udevadm(8), info --export-db: what udev knows of each device, a stand-in for plugged ports that a test machine lacks. */
  const DEVICES = `P: /devices/lamp/tty/ttyACM3
N: ttyACM3
E: DEVNAME=/dev/ttyACM3
E: ID_VENDOR_ID=1209
E: ID_MODEL_ID=0001

P: /devices/built-in/tty/ttyS0
N: ttyS0
E: DEVNAME=/dev/ttyS0

P: /devices/lamp/tty/ttyUSB0
N: ttyUSB0
E: DEVNAME=/dev/ttyUSB0
E: ID_VENDOR_ID=1209
`
  const withDevices = (devices: string | null, path: string) => {
    const bin = cli.path(`bin${++made}`)
    mkdirSync(bin)
    if (devices !== null)
      writeFileSync(`${bin}/udevadm`, `#!/bin/sh\n/bin/cat <<'END'\n${devices}END\n`, { mode: 0o755 })
    const args = [cli.program, 'flash', 'six-button', '--bank', '1', '--port', path]
    const { status, stdout, stderr } = spawnSync(process.execPath, args, {
      encoding: 'utf8',
      cwd: cli.folder,
      env: { PATH: bin },
    })
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' })
    return stderr
  }

  it.runIf(process.platform === 'linux')('is refused, with the USB serial ports that there are', () => {
    expect(withDevices(DEVICES, '/dev/ttyACM9')).toBe(
      'ninepin: /dev/ttyACM9: there is no such port; the USB serial ports here are /dev/ttyACM3, /dev/ttyUSB0\n',
    )
    expect(withDevices('', 'ttyACM0')).toBe(
      'ninepin: ttyACM0: there is no such port; no USB serial port is plugged in: check that the cable carries data and not only power\n',
    )
    expect(withDevices(null, '')).toBe(
      'ninepin: "": there is no such port; which ports there are, this system does not tell\n',
    )
  })

  it('is refused when something else is there', () => {
    writeFileSync(cli.path('file'), 'kept')
    for (const path of ['file', '.', '/dev/null']) {
      expect(cli.run('flash', 'six-button', '--bank', '1', '--port', path)).toMatchObject({
        code: 2,
        err: expect.stringContaining(`ninepin: ${path}: this is not a serial port; `) as unknown,
      })
    }
  })
})

/** A sound frame in answer to the first identify, whose mark is somebody else's. */
const strangersAnswer = (): Uint8Array =>
  encodeFrame({
    type: 0x81,
    sequence: 0,
    payload: new TextEncoder().encode('Lamp controller\0'.padEnd(92, '\0')),
  })
