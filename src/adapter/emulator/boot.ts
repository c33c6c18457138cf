import { BOOT_BLOCK_ADDRESS } from './mcu.ts'
import type { Mcu } from './mcu.ts'

const BOOT_BLOCK_BYTES = 256
const CHECKED_BYTES = BOOT_BLOCK_BYTES - 4
const POLYNOMIAL = 0x04c11db7

/** The checksum of a boot block (RP2040 datasheet §2.8.1.3.1): CRC-32 from all ones, bits not reflected, not inverted at the end. */
export function bootChecksum(bytes: Uint8Array): number {
  let crc = 0xffffffff
  for (const byte of bytes.subarray(0, CHECKED_BYTES)) {
    crc ^= byte << 24
    for (let bit = 0; bit < 8; bit += 1) crc = crc & 0x80000000 ? (crc << 1) ^ POLYNOMIAL : crc << 1
  }
  return crc >>> 0
}

/**
 * What the boot ROM does when it finds a boot block: takes it to the end of SRAM and jumps there, the return address 0 for
 * "go on into flash". The vector table is still the ROM's then.
 *
 * @returns whether there is one; if not, the ROM waits for a computer on USB
 */
export function boot(mcu: Mcu, flash: Uint8Array): boolean {
  const block = flash.subarray(0, BOOT_BLOCK_BYTES)
  const stored = new DataView(block.buffer, block.byteOffset).getUint32(CHECKED_BYTES, true)
  if (stored !== bootChecksum(block)) return false
  for (let at = 0; at < BOOT_BLOCK_BYTES; at += 4) {
    mcu.writeUint32(BOOT_BLOCK_ADDRESS + at, new DataView(block.buffer, block.byteOffset).getUint32(at, true))
  }
  const { core } = mcu
  core.VTOR = 0
  core.SP = BOOT_BLOCK_ADDRESS
  core.LR = 0
  core.PC = BOOT_BLOCK_ADDRESS
  return true
}
