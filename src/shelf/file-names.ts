import { numbersWord } from '../words/hexadecimal.ts'
import type { Bank } from '../profile/schema.ts'
import type { Entry } from './entry.ts'

/** How files are called that the app hands out and the command line writes by itself. */

/**
 * Names that Windows keeps for devices, whatever ending follows them (source: Microsoft, "Naming Files, Paths, and Namespaces",
 * which lists the superscript digits too; NFKD makes plain digits of those).
 */
const DEVICE = /^(?:con|prn|aux|nul|(?:com|lpt)\d)$/

/** Letters and digits that a file's name has at most before its ending; each takes four bytes of 255 at most. */
const STEM_LENGTH = 60

/**
 * A name as every file system takes it: small letters, digits, and hyphens between them. So it holds no character that Windows
 * forbids, ends with neither a dot nor a blank, and is no device.
 */
export function fileStem(name: string): string {
  const letters = name
    .normalize('NFKD')
    .replaceAll(/\p{Mark}/gu, '')
    .toLowerCase()
    .replaceAll(/[^\p{Letter}\p{Number}]+/gu, '-')
  const stem = [...letters.replaceAll(/^-+/g, '')].slice(0, STEM_LENGTH).join('').replace(/-+$/, '')
  if (stem === '') return 'unnamed'
  return DEVICE.test(stem) ? `${stem}-file` : stem
}

export const documentFileName = (kind: Entry['kind'], name: string): string =>
  `${fileStem(name)}.${kind}.json`

export const imageFileName = (profileName: string): string => `${fileStem(profileName)}.n9p`

/** A UF2 that puts a profile into a bank. */
export const uf2FileName = (profileName: string, bank: Bank): string =>
  `${fileStem(profileName)}-bank-${bank}.uf2`

/** The timing diagram of a title's misread. */
export const diagramFileName = (titleName: string): string => `${fileStem(titleName)}.vcd`

/** The report descriptor of a pad, as text: "pad-1209-2700.hex". */
export const descriptorFileName = (pad: Parameters<typeof numbersWord>[0]): string =>
  `${fileStem(`pad ${numbersWord(pad)}`)}.hex`
