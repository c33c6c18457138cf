/** What a serial port's driver needs of a configuration. */
export interface CdcEndpoints {
  readonly in: number
  readonly out: number
  readonly notice: number
  /** Frames between polls of the notification endpoint. */
  readonly noticeInterval: number
}

const INTERFACE = 4
const ENDPOINT = 5
const CLASS_COMMUNICATIONS = 2
const CLASS_DATA = 10

/** The endpoints of the serial port in a configuration descriptor (USB 2.0 §9.6, CDC 1.2 §5), or what is wrong with it. */
export function parseConfiguration(bytes: Uint8Array): CdcEndpoints | string {
  let at = 0
  let interfaceClass = -1
  let endpointIn: number | null = null
  let endpointOut: number | null = null
  let notice: { endpoint: number; interval: number } | null = null
  while (at < bytes.length) {
    const length = bytes[at] ?? 0
    const type = bytes[at + 1] ?? 0
    if (length < 2 || at + length > bytes.length)
      return `a descriptor of ${length} bytes at ${at} of the configuration`
    if (type === INTERFACE) interfaceClass = bytes[at + 5] ?? -1
    if (type === ENDPOINT) {
      const address = bytes[at + 2] ?? 0
      const kind = (bytes[at + 3] ?? 0) & 3
      if (interfaceClass === CLASS_DATA && kind === 2) {
        if (address & 0x80) endpointIn = address & 0xf
        else endpointOut = address & 0xf
      }
      if (interfaceClass === CLASS_COMMUNICATIONS && kind === 3) {
        notice = { endpoint: address & 0xf, interval: bytes[at + 6] || 1 }
      }
    }
    at += length
  }
  if (endpointIn === null || endpointOut === null || notice === null)
    return 'the configuration has no serial port'
  return { in: endpointIn, out: endpointOut, notice: notice.endpoint, noticeInterval: notice.interval }
}
