// Written by `npm run tables` from src/adapter/usb-registers.table.ts; change it there.

/** The USB controller of the RP2040: datasheet sections 4.1.2 to 4.1.4. */

/** Registers. */
export const USB = {
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
} as const

/**
 * In the dual-port RAM. An endpoint’s IN half comes first, 4 bytes before its OUT half; 8 bytes for each, endpoint control from
 * endpoint 1 on. As a host, endpoint control and buffer control of the one endpoint that software works (EPX) are elsewhere.
 */
export const USB_RAM = {
  setupAt: 0x000,
  bufferControlAt: 0x080,
  ep0BufferAt: 0x100,
  freeAt: 0x180,
  epxControlAt: 0x100,
  epxBufferControlAt: 0x080,
} as const

/** Main control. */
export const MAIN_CTRL = {
  controllerEn: 0x00000001,
  host: 0x00000002,
} as const

/** Control of the serial interface engine. */
export const SIE_CTRL = {
  startTrans: 0x00000001,
  sendSetup: 0x00000002,
  sendData: 0x00000004,
  receiveData: 0x00000008,
  stopTrans: 0x00000010,
  sofEn: 0x00000200,
  keepAliveEn: 0x00000400,
  resetBus: 0x00002000,
  pulldownEn: 0x00008000,
  pullupEn: 0x00010000,
  ep0Int1buf: 0x20000000,
} as const

/** Its status. */
export const SIE_STATUS = {
  vbusDetected: 0x00000001,
  suspended: 0x00000010,
  resume: 0x00000800,
  connected: 0x00010000,
  setupRec: 0x00020000,
  transComplete: 0x00040000,
  busReset: 0x00080000,
  crcError: 0x01000000,
  bitStuffError: 0x02000000,
  rxOverflow: 0x04000000,
  rxTimeout: 0x08000000,
  nakRec: 0x10000000,
  stallRec: 0x20000000,
  ackRec: 0x40000000,
  dataSeqError: 0x80000000,
} as const

/** Interrupts. */
export const USB_INT = {
  hostConnDis: 0x00000001,
  hostResume: 0x00000002,
  hostSof: 0x00000004,
  transComplete: 0x00000008,
  buffStatus: 0x00000010,
  errorDataSeq: 0x00000020,
  errorRxTimeout: 0x00000040,
  errorRxOverflow: 0x00000080,
  errorBitStuff: 0x00000100,
  errorCrc: 0x00000200,
  stall: 0x00000400,
  vbusDetect: 0x00000800,
  busReset: 0x00001000,
  devConnDis: 0x00002000,
  devSuspend: 0x00004000,
  devResumeFromHost: 0x00008000,
  setupReq: 0x00010000,
  devSof: 0x00020000,
  abortDone: 0x00040000,
  epStallNak: 0x00080000,
} as const

/** Buffer control; the lowest ten bits are the length. */
export const USB_BUFFER = {
  available: 0x00000400,
  stall: 0x00000800,
  data1: 0x00002000,
  last: 0x00004000,
  full: 0x00008000,
} as const

export const USB_BUFFER_LENGTH = 0x3ff
