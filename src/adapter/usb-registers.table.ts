/**
 * The USB controller of the RP2040, as far as the firmware uses it and the emulated chip has it: datasheet sections 4.1.2 to 4.1.4.
 * Only numbers are shared; what they do is written twice, and a test holds them against another's implementation.
 */

interface Bit {
  readonly name: string
  readonly bit: number
}

const bits = (names: Readonly<Record<string, number>>): readonly Bit[] =>
  Object.entries(names).map(([name, bit]) => ({ name, bit }))

/** Bits of one register, or of one word in the dual-port RAM. */
const bitsOf = (says: string, object: string, prefix: string, names: Readonly<Record<string, number>>) =>
  ({
    kind: 'numbers',
    says,
    typescript: { object },
    c: { prefix: `USB_${prefix}_`, as: 'macros' },
    of: bits(names).map(({ name, bit }) => ({ name, value: 2 ** bit, hex: 8 })),
  }) as const

const offsets = (names: Readonly<Record<string, number>>, digits: number) =>
  Object.entries(names).map(([name, value]) => ({ name, value, hex: digits }))

export const USB_REGISTERS_TABLE = {
  source: 'src/adapter/usb-registers.table.ts',
  about: 'The USB controller of the RP2040: datasheet sections 4.1.2 to 4.1.4.',
  typescript: 'src/adapter/emulator/usb-registers.ts',
  c: 'src/adapter/firmware/usb-register-numbers.h',
  blocks: [
    {
      kind: 'numbers',
      says: 'Registers.',
      typescript: { object: 'USB' },
      c: { prefix: 'USB_', as: 'enum' },
      of: offsets(
        {
          addrEndp: 0x00,
          mainCtrl: 0x40,
          sofWr: 0x44,
          sofRd: 0x48,
          sieCtrl: 0x4c,
          sieStatus: 0x50,
          intEpCtrl: 0x54,
          buffStatus: 0x58,
          buffCpuShouldHandle: 0x5c,
          epAbort: 0x60,
          epAbortDone: 0x64,
          epStallArm: 0x68,
          nakPoll: 0x6c,
          epStatusStallNak: 0x70,
          muxing: 0x74,
          pwr: 0x78,
          intr: 0x8c,
          inte: 0x90,
          intf: 0x94,
          ints: 0x98,
        },
        2,
      ),
    },
    {
      kind: 'numbers',
      says: [
        'In the dual-port RAM. An endpoint’s IN half comes first, 4 bytes before its OUT half; 8 bytes for each, endpoint control from',
        'endpoint 1 on. As a host, endpoint control and buffer control of the one endpoint that software works (EPX) are elsewhere.',
      ].join('\n'),
      typescript: { object: 'USB_RAM' },
      c: { prefix: 'USB_', as: 'enum' },
      of: offsets(
        {
          setupAt: 0x000,
          epControlAt: 0x008,
          bufferControlAt: 0x080,
          ep0BufferAt: 0x100,
          freeAt: 0x180,
          epxControlAt: 0x100,
          epxBufferControlAt: 0x080,
        },
        3,
      ).map((entry) => (entry.name === 'epControlAt' ? { ...entry, only: 'c' as const } : entry)),
    },
    bitsOf('Main control.', 'MAIN_CTRL', 'MAIN_CTRL', { controllerEn: 0, host: 1 }),
    bitsOf('Control of the serial interface engine.', 'SIE_CTRL', 'SIE_CTRL', {
      startTrans: 0,
      sendSetup: 1,
      sendData: 2,
      receiveData: 3,
      stopTrans: 4,
      sofEn: 9,
      keepAliveEn: 10,
      resetBus: 13,
      pulldownEn: 15,
      pullupEn: 16,
      ep0Int1buf: 29,
    }),
    bitsOf('Its status.', 'SIE_STATUS', 'SIE_STATUS', {
      vbusDetected: 0,
      suspended: 4,
      resume: 11,
      connected: 16,
      setupRec: 17,
      transComplete: 18,
      busReset: 19,
      crcError: 24,
      bitStuffError: 25,
      rxOverflow: 26,
      rxTimeout: 27,
      nakRec: 28,
      stallRec: 29,
      ackRec: 30,
      dataSeqError: 31,
    }),
    bitsOf('Interrupts.', 'USB_INT', 'INT', {
      hostConnDis: 0,
      hostResume: 1,
      hostSof: 2,
      transComplete: 3,
      buffStatus: 4,
      errorDataSeq: 5,
      errorRxTimeout: 6,
      errorRxOverflow: 7,
      errorBitStuff: 8,
      errorCrc: 9,
      stall: 10,
      vbusDetect: 11,
      busReset: 12,
      devConnDis: 13,
      devSuspend: 14,
      devResumeFromHost: 15,
      setupReq: 16,
      devSof: 17,
      abortDone: 18,
      epStallNak: 19,
    }),
    bitsOf('Buffer control; the lowest ten bits are the length.', 'USB_BUFFER', 'BUFFER', {
      available: 10,
      stall: 11,
      data1: 13,
      last: 14,
      full: 15,
    }),
    {
      kind: 'numbers',
      typescript: 'constants',
      c: { prefix: '', as: 'macros' },
      of: [{ name: 'usbBufferLength', value: 0x3ff, hex: 3 }],
    },
  ],
} as const
