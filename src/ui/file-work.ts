import { err } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { fileTexts } from '../shelf/file-texts.ts'
import { HEAD_BYTES } from '../shelf/files.ts'
import type { FileContent } from '../shelf/files.ts'
import { MAX_SHELF_BYTES, isShelfFile, readShelfFile } from '../shelf/pack.ts'
import type { SavedShelf } from '../shelf/pack.ts'
import { MAX_FILE_BYTES, readFile, tooLargeSentence } from '../shelf/read-file.ts'
import { foreign } from '../words/foreign.ts'
import { t } from './import-texts.ts'

/** What reads and saves files, in one chunk: a first visit does not wait for it. */
export { fileOfUnreadable, shelfFile } from '../shelf/pack.ts'
export { readFile } from '../shelf/read-file.ts'
export { importLabel, importWords, refusalWords } from './import-words.ts'

/** Files that hold whole shelves, and all others, each in their order. */
export async function parted(
  files: readonly File[],
): Promise<{ readonly shelves: readonly File[]; readonly others: readonly File[] }> {
  const are = await Promise.all(files.map(beginsAsShelf))
  return { shelves: files.filter((_, k) => are[k]), others: files.filter((_, k) => !are[k]) }
}

/** A file that cannot be read is not taken for a saved shelf; the reader it goes to says why. */
async function beginsAsShelf(file: File): Promise<boolean> {
  try {
    return isShelfFile(new Uint8Array(await file.slice(0, HEAD_BYTES).arrayBuffer()))
  } catch {
    return false
  }
}

/** Reads one file that was handed over. Never throws; the error is a sentence with the file's name. */
export async function readOne(file: File): Promise<Result<readonly FileContent[], string>> {
  if (file.size > MAX_FILE_BYTES) return err(tooLargeSentence(file.name, file.size))
  try {
    return readFile(file.name, new Uint8Array(await file.arrayBuffer()))
  } catch {
    return err(t.unreadable({ file: foreign(file.name) }))
  }
}

/** Reads one file that holds a whole shelf. Never throws; the error is a sentence with the file's name. */
export async function readShelf(file: File): Promise<Result<SavedShelf, string>> {
  const name = foreign(file.name)
  if (file.size > MAX_SHELF_BYTES) {
    return err(fileTexts.shelfTooLarge({ name, bytes: file.size, most: MAX_SHELF_BYTES }))
  }
  try {
    return readShelfFile(name, new Uint8Array(await file.arrayBuffer()))
  } catch {
    return err(t.unreadable({ file: name }))
  }
}

/** The sentence for a saved shelf that is too large to be opened again; `null` for one that is not. */
export const tooLargeAgain = (name: string, bytes: number): string | null =>
  bytes > MAX_SHELF_BYTES ? fileTexts.savedTooLarge({ name, bytes, most: MAX_SHELF_BYTES }) : null
