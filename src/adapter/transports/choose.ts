import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import type { Transport } from '../transport.ts'
import type { OpenTrouble } from '../troubles.ts'
import { webSerial } from './web-serial.ts'
import type { SerialApi } from './web-serial.ts'
import { webUsb } from './web-usb.ts'
import type { UsbApi } from './web-usb.ts'

/** What is asked of the browser. */
export interface BrowserApis {
  readonly navigator: {
    readonly serial?: SerialApi | undefined
    readonly usb?: UsbApi | undefined
    readonly userAgent: string
  }
  readonly isSecureContext: boolean
}

/** Web Serial where the browser has it, else WebUSB, else the reason why neither is there. */
export function chooseTransport(browser: BrowserApis): Result<Transport, OpenTrouble> {
  const { serial, usb, userAgent } = browser.navigator
  if (serial) return ok(webSerial(serial, runsOnLinux(userAgent) ? 'linux' : 'other'))
  if (usb) return ok(webUsb(usb))
  return err({ kind: 'no-device-api', secure: browser.isSecureContext })
}

/** Android names Linux as well, but asks for permission itself. */
const runsOnLinux = (userAgent: string): boolean =>
  /Linux|CrOS/.test(userAgent) && !userAgent.includes('Android')
