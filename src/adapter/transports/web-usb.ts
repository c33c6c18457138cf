import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import type { Connection, ConnectionListener, Transport } from '../transport.ts'
import type { OpenTrouble } from '../troubles.ts'
import { anyway, choosingTrouble, errorName, openFailed } from './browser-error.ts'

/** What is used of the WebUSB API (WICG). */
export type UsbDeviceApi = Pick<
  USBDevice,
  | 'configuration'
  | 'configurations'
  | 'open'
  | 'close'
  | 'selectConfiguration'
  | 'claimInterface'
  | 'controlTransferOut'
  | 'clearHalt'
  | 'transferIn'
  | 'transferOut'
>
export interface UsbApi {
  requestDevice(options: USBDeviceRequestOptions): Promise<UsbDeviceApi>
  addEventListener(type: 'disconnect', listener: (event: { readonly device: unknown }) => void): void
  removeEventListener(type: 'disconnect', listener: (event: { readonly device: unknown }) => void): void
}

/** Class codes and requests of a USB serial port. Source: USB CDC 1.2 §4.2, §4.5; PSTN subclass 1.2 §6.3. */
const CDC_CLASS = 0x02
const ACM_SUBCLASS = 0x02
const CDC_DATA_CLASS = 0x0a
const SET_LINE_CODING = 0x20
const SET_CONTROL_LINE_STATE = 0x22
const DTR_AND_RTS = 0b11
/** 115200 baud, 1 stop bit, no parity, 8 data bits. */
const LINE_CODING = Uint8Array.of(0x00, 0xc2, 0x01, 0x00, 0, 0, 8)

interface SerialInterfaces {
  readonly control: number
  readonly data: number
  readonly endpointIn: number
  readonly endpointOut: number
  readonly packetBytes: number
}

/** Serial ports over WebUSB, for browsers that have no Web Serial. */
export const webUsb = (usb: UsbApi): Transport => ({
  kind: 'web-usb',
  async open() {
    let device: UsbDeviceApi
    try {
      device = await usb.requestDevice({ filters: [{ classCode: CDC_CLASS }, { classCode: CDC_DATA_CLASS }] })
    } catch (error) {
      return err(choosingTrouble(error))
    }
    const opened = await openDevice(device)
    if (opened.ok) return ok(new UsbConnection(usb, device, opened.value))
    await anyway(() => device.close())
    return opened
  },
})

async function openDevice(device: UsbDeviceApi): Promise<Result<SerialInterfaces, OpenTrouble>> {
  try {
    await device.open()
  } catch (error) {
    return err(openingTrouble(error))
  }
  try {
    const first = device.configurations[0]
    if (!device.configuration && first) await device.selectConfiguration(first.configurationValue)
    const interfaces = findSerial(device.configuration)
    if (!interfaces) return err({ kind: 'no-serial-interface' })
    await device.claimInterface(interfaces.control)
    await device.claimInterface(interfaces.data)
    await device.controlTransferOut(toInterface(interfaces, SET_LINE_CODING, 0), LINE_CODING)
    await device.controlTransferOut(toInterface(interfaces, SET_CONTROL_LINE_STATE, DTR_AND_RTS))
    return ok(interfaces)
  } catch (error) {
    return err(claimingTrouble(error))
  }
}

/**
 * Source: WICG WebUSB API, open(): NotFoundError when the device has gone, NetworkError when the system refuses.
 * Chromium rejects with SecurityError when the device file may not be written (its issue threads; common practice).
 */
function openingTrouble(error: unknown): OpenTrouble {
  switch (errorName(error)) {
    case 'NotFoundError':
      return { kind: 'unplugged-while-opening' }
    case 'SecurityError':
      return { kind: 'no-permission' }
    case 'NetworkError':
    case 'InvalidStateError':
      return { kind: 'held' }
    default:
      return openFailed(error)
  }
}

/** Source: WICG WebUSB API, claimInterface(): NetworkError when exclusive control cannot be had. */
function claimingTrouble(error: unknown): OpenTrouble {
  switch (errorName(error)) {
    case 'NotFoundError':
      return { kind: 'unplugged-while-opening' }
    case 'SecurityError':
    case 'NetworkError':
    case 'InvalidStateError':
      return { kind: 'held' }
    default:
      return openFailed(error)
  }
}

const toInterface = (
  { control }: SerialInterfaces,
  request: number,
  value: number,
): USBControlTransferParameters => ({
  requestType: 'class',
  recipient: 'interface',
  request,
  value,
  index: control,
})

/** The control interface of a serial port and the data interface that follows it, told by their descriptors. */
function findSerial(configuration: USBConfiguration | null | undefined): SerialInterfaces | null {
  let control: number | null = null
  for (const { interfaceNumber, alternate } of configuration?.interfaces ?? []) {
    const { interfaceClass, interfaceSubclass, endpoints } = alternate
    if (interfaceClass === CDC_CLASS && interfaceSubclass === ACM_SUBCLASS) control = interfaceNumber
    if (interfaceClass !== CDC_DATA_CLASS || control === null) continue
    const bulk = endpoints.filter(({ type }) => type === 'bulk')
    const inward = bulk.find(({ direction }) => direction === 'in')
    const outward = bulk.find(({ direction }) => direction === 'out')
    if (inward && outward)
      return {
        control,
        data: interfaceNumber,
        endpointIn: inward.endpointNumber,
        endpointOut: outward.endpointNumber,
        packetBytes: inward.packetSize,
      }
  }
  return null
}

class UsbConnection implements Connection {
  readonly #usb: UsbApi
  readonly #device: UsbDeviceApi
  readonly #interfaces: SerialInterfaces
  #listener: ConnectionListener | undefined
  #sending: Promise<void> = Promise.resolve()
  #lost = false
  #closing: Promise<void> | undefined

  constructor(usb: UsbApi, device: UsbDeviceApi, interfaces: SerialInterfaces) {
    this.#usb = usb
    this.#device = device
    this.#interfaces = interfaces
    usb.addEventListener('disconnect', this.#onDisconnect)
  }

  listen(listener: ConnectionListener): void {
    this.#listener = listener
    if (this.#lost) listener.lost()
    else void this.#read(listener)
  }

  send(bytes: Uint8Array): void {
    const data = bytes.slice()
    this.#sending = this.#sending.then(async () => {
      if (this.#closing || this.#lost) return
      try {
        const { status } = await this.#device.transferOut(this.#interfaces.endpointOut, data)
        // What was lost with the stall is sent again by whoever waits for an answer.
        if (status === 'stall') await this.#device.clearHalt('out', this.#interfaces.endpointOut)
      } catch {
        this.#onLost()
      }
    })
  }

  close(): Promise<void> {
    this.#closing ??= this.#close()
    return this.#closing
  }

  readonly #onDisconnect = (event: { readonly device: unknown }): void => {
    if (event.device === this.#device) this.#onLost()
  }

  readonly #onLost = (): void => {
    if (this.#lost || this.#closing) return
    this.#lost = true
    this.#listener?.lost()
  }

  async #read(listener: ConnectionListener): Promise<void> {
    const { endpointIn, packetBytes } = this.#interfaces
    try {
      while (!this.#closing && !this.#lost) {
        const { data, status } = await this.#device.transferIn(endpointIn, packetBytes)
        if (data && data.byteLength > 0)
          listener.bytes(new Uint8Array(data.buffer, data.byteOffset, data.byteLength))
        if (status === 'stall') await this.#device.clearHalt('in', endpointIn)
      }
    } catch {
      this.#onLost()
    }
  }

  async #close(): Promise<void> {
    this.#usb.removeEventListener('disconnect', this.#onDisconnect)
    // Tells the device that nobody is there any more; closing aborts transfers and releases the interfaces.
    await anyway(() =>
      this.#device.controlTransferOut(toInterface(this.#interfaces, SET_CONTROL_LINE_STATE, 0)),
    )
    await anyway(() => this.#device.close())
  }
}
