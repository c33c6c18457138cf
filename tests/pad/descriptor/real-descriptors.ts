import { readFileSync, readdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { readDescriptorFile } from '../../../src/pad/descriptor/read-file.ts'

export interface RealDescriptor {
  /** Its number and kind: `06-pad`. */
  readonly name: string
  readonly bytes: Uint8Array
}

const FOLDER = fileURLToPath(new URL('real/', import.meta.url))

/** Descriptors of devices in the field. Each file says where its bytes were published. */
export const REAL_DESCRIPTORS: readonly RealDescriptor[] = readdirSync(FOLDER)
  .sort()
  .map((file) => {
    const read = readDescriptorFile(readFileSync(`${FOLDER}${file}`))
    if (!read.ok) throw new Error(`${file}: ${read.error.place}: ${read.error.message}`)
    return { name: file.replace('.hex', ''), bytes: read.value }
  })

export function realDescriptor(number: number): Uint8Array {
  const found = REAL_DESCRIPTORS.find(({ name }) => Number.parseInt(name, 10) === number)
  if (found === undefined) throw new Error(`there is no descriptor ${number}`)
  return found.bytes
}
