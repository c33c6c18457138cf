/**
 * A pad's name without what browsers put around it: vendor and product numbers in brackets behind the name, or in front
 * of it.
 */
export const shortPadName = (name: string): string =>
  name
    .replace(/\s*\([^()]*Vendor[^()]*\)\s*$/i, '')
    .replace(/^[0-9a-f]{1,4}-[0-9a-f]{1,4}-/i, '')
    .trim()
    .slice(0, 40) || 'a pad'
