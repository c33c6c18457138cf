import { err } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { MAX_FILE_BYTES, fileOf, readFile, tooLargeSentence } from '../shelf/files.ts'
import type { FileContent } from '../shelf/files.ts'
import type { Kept } from '../shelf/kept.ts'

/** Opens the system's file dialog; must follow a press of the user. */
export function pickFiles(take: (files: readonly File[]) => void): void {
  const input = document.createElement('input')
  input.type = 'file'
  input.multiple = true
  input.accept = '.json,.n9p,application/json'
  input.onchange = () => take([...(input.files ?? [])])
  input.click()
}

/** Hands a file to the browser's downloads. */
export function download(name: string, content: BlobPart, type = 'application/json'): void {
  const address = URL.createObjectURL(new Blob([content], { type }))
  const link = document.createElement('a')
  link.href = address
  link.download = name
  link.click()
  // The download has its own hold on the content once it has begun.
  setTimeout(() => URL.revokeObjectURL(address), 10_000)
}

export function exportKept(kept: Kept): void {
  const { name, text } = fileOf(kept)
  download(name, text)
}

/** Reads one file that was handed over. Never throws; the error is a sentence with the file's name. */
export async function readOne(file: File): Promise<Result<FileContent, string>> {
  if (file.size > MAX_FILE_BYTES) return err(tooLargeSentence(file.name, file.size))
  try {
    return readFile(file.name, new Uint8Array(await file.arrayBuffer()))
  } catch {
    return err(`${file.name}: the file could not be read. A folder cannot be taken; a file may have moved.`)
  }
}
