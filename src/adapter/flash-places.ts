import { FLASH_MAP } from './flash-map.ts'

/** Behind the banks and the log of the active one. What the adapter keeps of pads follows. */
export const BANKS_END = FLASH_MAP.activeLogAt + FLASH_MAP.activeLogSectors * FLASH_MAP.sectorBytes

/** Where the processor sees the flash, which is how a UF2 tells where its bytes go. */
export const FLASH_ADDRESS = 0x10000000

/** Where copy A (0) or copy B (1) of a bank begins. Banks count from 0. */
export const copyAt = (bank: number, copy: 0 | 1): number =>
  FLASH_MAP.banksAt + bank * FLASH_MAP.bankBytes + copy * FLASH_MAP.sectorBytes
