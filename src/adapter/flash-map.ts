/** Where things lie in the adapter's flash, in bytes from its start: the same numbers as firmware/flash-map.h. */
export const FLASH_MAP = {
  flashBytes: 0x200000,
  sectorBytes: 0x1000,
  pageBytes: 0x100,
  firmwareAt: 0,
  firmwareBytes: 0x80000,
  banksAt: 0x100000,
  banks: 4,
  bankBytes: 0x2000,
  activeLogAt: 0x110000,
  activeLogSectors: 2,
  metAt: 0x112000,
  metSectors: 9,
  seenAt: 0x11b000,
  seenSectors: 4,
} as const

/** Behind the banks and the log of the active one. What the adapter keeps of pads follows. */
export const BANKS_END = FLASH_MAP.activeLogAt + FLASH_MAP.activeLogSectors * FLASH_MAP.sectorBytes

/** Where the processor sees the flash, which is how a UF2 tells where its bytes go. */
export const FLASH_ADDRESS = 0x10000000

/** Where copy A (0) or copy B (1) of a bank begins. Banks count from 0. */
export const copyAt = (bank: number, copy: 0 | 1): number =>
  FLASH_MAP.banksAt + bank * FLASH_MAP.bankBytes + copy * FLASH_MAP.sectorBytes
