import { HEAD_BYTES, isCapture } from '../shelf/files.ts'
import { tray } from './capture/tray.svelte.ts'

/** Takes files that are no captures. */
export type TakeFiles = (files: readonly File[]) => void

/** Opens the system's file dialog; must follow a press of the user. */
export function pickFiles(take: TakeFiles): void {
  const input = document.createElement('input')
  input.type = 'file'
  input.multiple = true
  input.accept = '.json,.n9p,.vcd,.sr,application/json'
  input.onchange = () => void handOver([...(input.files ?? [])], take)
  input.click()
}

/** Parts files by their first bytes: captures go to the tray, where their sheet reads them, all others to `take`. */
export async function handOver(files: readonly File[], take: TakeFiles): Promise<void> {
  const are = await Promise.all(files.map(beginsAsCapture))
  const captures = files.filter((_, k) => are[k])
  const others = files.filter((_, k) => !are[k])
  if (captures.length > 0) tray.lay(captures)
  if (others.length > 0) take(others)
}

/** A file that cannot be read is not taken for a capture; the reader it goes to says why. */
async function beginsAsCapture(file: File): Promise<boolean> {
  try {
    return isCapture(new Uint8Array(await file.slice(0, HEAD_BYTES).arrayBuffer()))
  } catch {
    return false
  }
}

/**
 * What reads and saves files. The page loads it soon after its start: when a newer version has taken its file away, a tab of the
 * older one can still save what it holds.
 */
export const loadFileWork = () => import('./file-work.ts')

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
