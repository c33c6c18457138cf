/** The first 252 of the flash's 256 bytes of boot block: what its checksum covers. */
const BOOT_CODE_BYTES = 252

/**
 * The checksum that the boot ROM wants behind the boot block: CRC-32, polynomial 0x04C11DB7, first bit first, starting with all
 * ones, not complemented (RP2040 datasheet §2.8.1.3.1).
 */
export function bootBlockCrc(flash: Uint8Array): number {
  let crc = 0xffffffff
  for (const byte of flash.subarray(0, BOOT_CODE_BYTES)) {
    crc ^= byte << 24
    for (let bit = 0; bit < 8; bit++) crc = crc & 0x80000000 ? (crc << 1) ^ 0x04c11db7 : crc << 1
  }
  return crc >>> 0
}
