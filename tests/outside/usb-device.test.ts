import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { Chip } from '../../src/adapter/emulator/chip.ts'
import { STARTED_NS, flashWith } from '../adapter/firmware/rig.ts'
import { findTool } from '../tools.ts'

/**
 * Descriptors as the firmware sends them over the emulated bus.
 *
 * Sources: Universal Serial Bus Specification 2.0, chapter 9; USB Class Definitions for Communications Devices (CDC) 1.2, errata 1 of
 * November 2010; PSTN subclass 1.2. Fields, and the numbers of tables 9-13 and of CDC and PSTN, were looked up in public
 * transcriptions; the numbers of tables 9-8, 9-10, 9-12, 9-15 and 9-16, and sections 5.7.3, 5.7.4, 5.8.3 and 7.2.1 with what stands
 * there, are from memory. Further down, the same bytes are read through the structures of the
 * Linux kernel, <linux/usb/ch9.h> and <linux/usb/cdc.h>.
 */

const MS = 1_000_000
const DEVICE = 1
const CONFIGURATION = 2
const STRING = 3
const INTERFACE = 4
const ENDPOINT = 5
/** CDC table 12. */
const CS_INTERFACE = 0x24
const US_ENGLISH = 0x0409

const chip = new Chip({ flash: flashWith() })
chip.runFor(STARTED_NS)
chip.usb.attach()
chip.runUntil(() => ['configured', 'failed'].includes(chip.usb.state), 2_000 * MS)

/** What the device gives for a descriptor (9.4.3). */
function descriptor(type: number, index = 0, language = 0): number[] {
  const pending = chip.usb.control({
    bmRequestType: 0x80,
    bRequest: 6,
    wValue: (type << 8) | index,
    wIndex: language,
    wLength: 255,
  })
  chip.runUntil(() => pending.outcome !== null, 5_000 * MS)
  if (pending.outcome?.kind !== 'done') throw new Error(`descriptor ${type}: ${pending.outcome?.kind}`)
  return [...pending.outcome.bytes]
}

/** A table of a standard: names of the fields, in their order, and the bytes of each. */
type Layout = Readonly<Record<string, 1 | 2>>

const TABLE_9_8: Layout = {
  bLength: 1,
  bDescriptorType: 1,
  bcdUSB: 2,
  bDeviceClass: 1,
  bDeviceSubClass: 1,
  bDeviceProtocol: 1,
  bMaxPacketSize0: 1,
  idVendor: 2,
  idProduct: 2,
  bcdDevice: 2,
  iManufacturer: 1,
  iProduct: 1,
  iSerialNumber: 1,
  bNumConfigurations: 1,
}
const TABLE_9_10: Layout = {
  bLength: 1,
  bDescriptorType: 1,
  wTotalLength: 2,
  bNumInterfaces: 1,
  bConfigurationValue: 1,
  iConfiguration: 1,
  bmAttributes: 1,
  bMaxPower: 1,
}
const TABLE_9_12: Layout = {
  bLength: 1,
  bDescriptorType: 1,
  bInterfaceNumber: 1,
  bAlternateSetting: 1,
  bNumEndpoints: 1,
  bInterfaceClass: 1,
  bInterfaceSubClass: 1,
  bInterfaceProtocol: 1,
  iInterface: 1,
}
const TABLE_9_13: Layout = {
  bLength: 1,
  bDescriptorType: 1,
  bEndpointAddress: 1,
  bmAttributes: 1,
  wMaxPacketSize: 2,
  bInterval: 1,
}
const FUNCTIONAL = { bFunctionLength: 1, bDescriptorType: 1, bDescriptorSubtype: 1 } as const
const CDC_HEADER: Layout = { ...FUNCTIONAL, bcdCDC: 2 }
const CALL_MANAGEMENT: Layout = { ...FUNCTIONAL, bmCapabilities: 1, bDataInterface: 1 }
const ABSTRACT_CONTROL: Layout = { ...FUNCTIONAL, bmCapabilities: 1 }
const UNION: Layout = { ...FUNCTIONAL, bControlInterface: 1, bSubordinateInterface0: 1 }

/** The fields of a descriptor, which must be exactly as long as its table. */
function fieldsOf(bytes: readonly number[], layout: Layout): Record<string, number> {
  const fields: Record<string, number> = {}
  let at = 0
  for (const [name, size] of Object.entries(layout)) {
    fields[name] = (bytes[at] ?? NaN) + (size === 2 ? 256 * (bytes[at + 1] ?? NaN) : 0)
    at += size
  }
  expect(bytes).toHaveLength(at)
  expect(bytes[0]).toBe(at)
  return fields
}

/** The descriptors that a configuration is a row of (9.5). */
function rowOf(bytes: readonly number[]): number[][] {
  const row: number[][] = []
  for (let at = 0; at < bytes.length;) {
    const length = bytes[at] ?? 0
    if (length < 2 || at + length > bytes.length) throw new Error(`a descriptor of ${length} bytes at ${at}`)
    row.push(bytes.slice(at, at + length))
    at += length
  }
  return row
}

const whole = descriptor(CONFIGURATION)
const row = rowOf(whole)
const ofType = (type: number): number[][] => row.filter((bytes) => bytes[1] === type)
const functional = (subtype: number): number[] => {
  const [found = [], ...more] = ofType(CS_INTERFACE).filter((bytes) => bytes[2] === subtype)
  expect(more).toEqual([])
  return found
}

describe('standard descriptors', () => {
  it('the bus has nothing to complain of', () => {
    expect([chip.usb.state, chip.usb.faults]).toEqual(['configured', []])
  })

  it('device: USB 2.0 table 9-8', () => {
    expect(fieldsOf(descriptor(DEVICE), TABLE_9_8)).toEqual({
      bLength: 18,
      bDescriptorType: DEVICE,
      bcdUSB: 0x0200,
      // CDC table 8: class of table 2, subclass and protocol unused.
      bDeviceClass: 0x02,
      bDeviceSubClass: 0,
      bDeviceProtocol: 0,
      bMaxPacketSize0: 64,
      // The pid.codes TEST pair (in the list of USB IDs: "1209:0001 Generic pid.codes Test PID"): for private experiments until a
      // product number is registered.
      idVendor: 0x1209,
      idProduct: 0x0001,
      bcdDevice: expect.any(Number) as number,
      iManufacturer: 1,
      iProduct: 2,
      iSerialNumber: 3,
      bNumConfigurations: 1,
    })
  })

  it('configuration: table 9-10', () => {
    const head = fieldsOf(row[0] ?? [], TABLE_9_10)
    expect(head).toMatchObject({
      bDescriptorType: CONFIGURATION,
      wTotalLength: whole.length,
      iConfiguration: 0,
    })
    const numbers = ofType(INTERFACE).map((bytes) => fieldsOf(bytes, TABLE_9_12)['bInterfaceNumber'])
    expect(numbers).toEqual(Array.from({ length: head['bNumInterfaces'] ?? 0 }, (_, k) => k))
    // SetConfiguration(0) means none (9.4.7).
    expect(head['bConfigurationValue']).toBeGreaterThan(0)
    // Bit 7 is one and bits 4 to 0 are zero; here neither self-powered (6) nor waking the host (5).
    expect(head['bmAttributes']).toBe(0x80)
    // In units of 2 mA; 7.2.1: five unit loads of 100 mA at most, of which one before it is configured.
    expect(2 * (head['bMaxPower'] ?? NaN)).toBeLessThanOrEqual(100)
  })

  it('interfaces and endpoints: tables 9-12 and 9-13, each interface followed by as many endpoints as it says', () => {
    const following: number[] = []
    for (const [, type] of row) {
      if (type === INTERFACE) following.push(0)
      if (type === ENDPOINT) following[following.length - 1] = (following.at(-1) ?? NaN) + 1
    }
    const interfaces = ofType(INTERFACE).map((bytes) => fieldsOf(bytes, TABLE_9_12))
    expect(following).toEqual(interfaces.map(({ bNumEndpoints }) => bNumEndpoints))
    const endpoints = ofType(ENDPOINT).map((bytes) => fieldsOf(bytes, TABLE_9_13))
    const addresses = endpoints.map(({ bEndpointAddress }) => bEndpointAddress ?? NaN)
    expect(new Set(addresses).size).toBe(addresses.length)
    for (const {
      bEndpointAddress = NaN,
      bmAttributes = NaN,
      wMaxPacketSize = NaN,
      bInterval = NaN,
    } of endpoints) {
      // Bits 6 to 4 are zero; number 0 has no descriptor.
      expect(bEndpointAddress & 0x70).toBe(0)
      expect(bEndpointAddress & 0x0f).toBeGreaterThan(0)
      // Full speed: bulk 8, 16, 32 or 64 bytes (5.8.3); interrupt up to 64 (5.7.3), polled every 1 to 255 ms (5.7.4).
      if (bmAttributes === 2) expect([8, 16, 32, 64]).toContain(wMaxPacketSize)
      else {
        expect(bmAttributes).toBe(3)
        expect(wMaxPacketSize).toBeLessThanOrEqual(64)
        expect(bInterval).toBeGreaterThanOrEqual(1)
      }
    }
  })

  it('strings: languages of table 9-15, texts of table 9-16', () => {
    expect(descriptor(STRING, 0)).toEqual([4, STRING, US_ENGLISH & 0xff, US_ENGLISH >> 8])
    const [maker, product, serial] = [1, 2, 3].map((index) => {
      const bytes = descriptor(STRING, index, US_ENGLISH)
      expect(bytes.slice(0, 2)).toEqual([bytes.length, STRING])
      return new TextDecoder('utf-16le', { fatal: true }).decode(Uint8Array.from(bytes.slice(2)))
    })
    expect([maker, product]).toEqual(['Ninepin', 'Ninepin adapter'])
    expect(serial).toMatch(/^[0-9A-F]{16}$/)
  })
})

describe('a serial port: CDC 1.2 and PSTN 1.2', () => {
  it('class codes: CDC tables 3 to 7, as tables 9 and 10 want them', () => {
    const codes = ofType(INTERFACE).map((bytes) => {
      const { bInterfaceClass, bInterfaceSubClass, bInterfaceProtocol } = fieldsOf(bytes, TABLE_9_12)
      return [bInterfaceClass, bInterfaceSubClass, bInterfaceProtocol]
    })
    expect(codes).toEqual([
      [0x02, 0x02, 0x00],
      [0x0a, 0x00, 0x00],
    ])
  })

  it('the functional descriptors begin with the header (CDC 5.2.3.1, table 15) and stand behind the first interface', () => {
    const types = row.map(([, type]) => type)
    const first = types.indexOf(CS_INTERFACE)
    expect(types.slice(first - 1, first)).toEqual([INTERFACE])
    expect(row[first]?.[2]).toBe(0x00)
    expect(fieldsOf(functional(0x00), CDC_HEADER)).toMatchObject({ bcdCDC: 0x0120 })
  })

  it('call management: PSTN 5.3.1, table 3. None, so that bit 1 is zero as well', () => {
    expect(fieldsOf(functional(0x01), CALL_MANAGEMENT)).toMatchObject({
      bmCapabilities: 0,
      bDataInterface: 1,
    })
  })

  it('abstract control: PSTN 5.3.2, table 4. Bit 1: line coding, control line state and their notification; bits 7 to 4 zero', () => {
    expect(fieldsOf(functional(0x02), ABSTRACT_CONTROL)).toMatchObject({ bmCapabilities: 1 << 1 })
  })

  it('union: CDC 5.2.3.2, table 16. Interface 0 controls interface 1', () => {
    expect(fieldsOf(functional(0x06), UNION)).toMatchObject({
      bControlInterface: 0,
      bSubordinateInterface0: 1,
    })
  })
})

const COMPILER = 'cc|gcc|clang'
/** Reads a device and a configuration descriptor, in hexadecimal, through the kernel's structures. */
const READER = `
#include <linux/usb/cdc.h>
#include <linux/usb/ch9.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static unsigned char device[64], all[256];

static int read_hex(const char *text, unsigned char *into)
{
    int count = 0;
    for (unsigned value; sscanf(text, "%2x", &value) == 1; text += 2) into[count++] = (unsigned char)value;
    return count;
}

int main(int count, char **words)
{
    if (count != 3) return 2;
    if (read_hex(words[1], device) != USB_DT_DEVICE_SIZE) return 3;
    int total = read_hex(words[2], all);
    const struct usb_device_descriptor *d = (const void *)device;
    printf("device %d %x %x %x %d\\n", d->bDescriptorType == USB_DT_DEVICE, d->bcdUSB, d->idVendor, d->idProduct,
           d->bDeviceClass == USB_CLASS_COMM);
    for (int at = 0; at < total; at += all[at]) {
        const void *here = all + at;
        const struct usb_descriptor_header *head = here;
        if (head->bLength < 2) return 4;
        if (head->bDescriptorType == USB_DT_CONFIG) {
            const struct usb_config_descriptor *c = here;
            printf("config %d %d %d\\n", c->bLength == USB_DT_CONFIG_SIZE, c->wTotalLength, c->bNumInterfaces);
        } else if (head->bDescriptorType == USB_DT_INTERFACE) {
            const struct usb_interface_descriptor *i = here;
            printf("interface %d %s\\n", i->bInterfaceNumber,
                   i->bInterfaceClass == USB_CLASS_COMM && i->bInterfaceSubClass == USB_CDC_SUBCLASS_ACM ? "acm"
                   : i->bInterfaceClass == USB_CLASS_CDC_DATA                                            ? "data"
                                                                                                         : "?");
        } else if (head->bDescriptorType == USB_DT_ENDPOINT) {
            const struct usb_endpoint_descriptor *e = here;
            printf("endpoint %d %s %s %d\\n", e->bEndpointAddress & USB_ENDPOINT_NUMBER_MASK,
                   e->bEndpointAddress & USB_DIR_IN ? "in" : "out",
                   (e->bmAttributes & USB_ENDPOINT_XFERTYPE_MASK) == USB_ENDPOINT_XFER_BULK ? "bulk" : "interrupt",
                   e->wMaxPacketSize);
        } else if (head->bDescriptorType == USB_DT_CS_INTERFACE) {
            const struct usb_cdc_header_desc *h = here;
            const struct usb_cdc_call_mgmt_descriptor *m = here;
            const struct usb_cdc_acm_descriptor *a = here;
            const struct usb_cdc_union_desc *u = here;
            switch (h->bDescriptorSubType) {
            case USB_CDC_HEADER_TYPE: printf("header %x\\n", h->bcdCDC); break;
            case USB_CDC_CALL_MANAGEMENT_TYPE: printf("call %d %d\\n", m->bmCapabilities, m->bDataInterface); break;
            case USB_CDC_ACM_TYPE: printf("acm %d\\n", a->bmCapabilities == USB_CDC_CAP_LINE); break;
            case USB_CDC_UNION_TYPE: printf("union %d %d\\n", u->bMasterInterface0, u->bSlaveInterface0); break;
            default: printf("?\\n");
            }
        } else printf("?\\n");
    }
    return 0;
}
`

/** Whether there is a compiler that finds the kernel's headers, which only Linux has. */
function hasKernelHeaders(): boolean {
  const compiler = findTool(COMPILER)
  if (compiler === undefined) return false
  const input = '#include <linux/usb/cdc.h>\n#include <linux/usb/ch9.h>\n'
  return spawnSync(compiler, ['-fsyntax-only', '-x', 'c', '-'], { input }).status === 0
}

const READER_SUITE = 'the structures of the Linux kernel read the same'
describe.skipIf(!hasKernelHeaders())(
  hasKernelHeaders() ? READER_SUITE : `${READER_SUITE} (not here: <linux/usb/ch9.h>)`,
  () => {
    it('device, configuration, interfaces, functions and endpoints', () => {
      const folder = mkdtempSync(join(tmpdir(), 'ninepin-usb-'))
      try {
        const program = join(folder, 'read')
        execFileSync(findTool(COMPILER) ?? 'cc', ['-Wall', '-Werror', '-x', 'c', '-o', program, '-'], {
          input: READER,
        })
        const hex = (bytes: readonly number[]) => Buffer.from(bytes).toString('hex')
        const said = execFileSync(program, [hex(descriptor(DEVICE)), hex(whole)], { encoding: 'utf8' })
        expect(said.trim().split('\n')).toEqual([
          'device 1 200 1209 1 1',
          `config 1 ${whole.length} 2`,
          'interface 0 acm',
          'header 120',
          'call 0 1',
          'acm 1',
          'union 0 1',
          expect.stringMatching(/^endpoint 1 in interrupt \d+$/) as string,
          'interface 1 data',
          'endpoint 2 out bulk 64',
          'endpoint 2 in bulk 64',
        ])
      } finally {
        rmSync(folder, { recursive: true })
      }
    })
  },
)
