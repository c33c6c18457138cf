/** A vendor or product number as people write it: `1209`, `0x1209`. `null` for anything else. */
export function readNumber(typed: string): number | null {
  const [, digits] = /^(?:0x)?([0-9a-f]{1,4})$/i.exec(typed.trim()) ?? []
  return digits === undefined ? null : parseInt(digits, 16)
}
