import { randomBytes } from 'node:crypto'
import {
  accessSync,
  chmodSync,
  closeSync,
  constants,
  copyFileSync,
  fsyncSync,
  linkSync,
  lstatSync,
  mkdirSync,
  openSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import type { Stats } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import { setImmediate as nextTurn } from 'node:timers/promises'
import { BadInput } from './fail.ts'
import { fileTexts as t } from './fault-texts.ts'
import { named, why } from './why.ts'

/** A file and all that goes into it. */
export interface Written {
  readonly path: string
  readonly content: Uint8Array | string
}

/**
 * Writes a file whole or not at all: what stood there before stays until the new content is complete and on the disk. A link
 * is followed to the file that it leads to.
 *
 * @param inputs what the content was made from; none of it is written over
 */
export const writeWhole = (path: string, content: Uint8Array | string, inputs: readonly string[]): void =>
  writeAllWhole([{ path, content }], inputs)

/** Makes a folder to write into, unless it is there. */
export function makeFolder(path: string): void {
  try {
    mkdirSync(path, { recursive: true })
  } catch {
    throw new BadInput(path, '', t.noSuchFolderMade)
  }
}

/** Writes all of some files, or none of them. */
export function writeAllWhole(files: readonly Written[], inputs: readonly string[]): void {
  const targets = files.map(({ path }) => targetOf(path, inputs))
  const twice = targets.find(
    ({ real }, k) => targets.findIndex((other) => resolve(other.real) === resolve(real)) < k,
  )
  if (twice) throw new BadInput(twice.path, '', t.writtenTwice)
  const drafts: Draft[] = []
  try {
    targets.forEach((target, k) => {
      const draft = begin(target)
      drafts.push(draft)
      telling(target.path, () => {
        writeFileSync(draft.file, files[k]?.content ?? '')
        finish(draft)
      })
    })
    publish(drafts)
  } finally {
    drafts.forEach(discard)
  }
}

/** As {@link writeWhole}, of pieces that are made while they are written. A signal can end it between any two. */
export async function writePieces(
  path: string,
  pieces: Iterable<string>,
  inputs: readonly string[],
): Promise<void> {
  const draft = begin(targetOf(path, inputs))
  try {
    for (const piece of pieces) {
      telling(path, () => writeFileSync(draft.file, piece))
      await nextTurn()
    }
    telling(path, () => finish(draft))
    publish([draft])
  } finally {
    discard(draft)
  }
}

/** Lets a signal that came while a file was written end the program. */
export async function heedSignals(): Promise<void> {
  // The system's events are looked at between two turns, not before the first.
  for (let turn = 0; turn < 2; turn++) await nextTurn()
}

/** Where a file is to go. */
interface Target {
  readonly path: string
  /** Behind any link. */
  readonly real: string
  /** What stands there. */
  readonly there: Stats | undefined
}

/** A file that is being written beside its target. */
interface Draft {
  readonly target: Target
  /** The same as the target where that is a pipe or a device: it has nothing to keep, and must not be replaced by a file. */
  readonly beside: string
  file: number
}

function targetOf(path: string, inputs: readonly string[]): Target {
  const there = statOf(path)
  if (there?.isDirectory()) throw new BadInput(path, '', t.notWritten({ why: t.isFolder }))
  if (there?.isFile() && inputs.some((input) => sameFile(there, statOf(input))))
    throw new BadInput(path, '', t.wasRead)
  if (
    there === undefined &&
    isLink(path) &&
    telling(path, () => statSync(path, { throwIfNoEntry: false })) === undefined
  )
    throw new BadInput(path, '', t.linkToNowhere)
  return telling(path, () => {
    // A protected file stays as it is, even where its folder would let it be replaced.
    if (there?.isFile()) accessSync(path, constants.W_OK)
    return { path, real: there === undefined ? path : realpathSync(path), there }
  })
}

/** What stands at a path; nothing where nothing does, or where it cannot be told. */
const statOf = (path: string): Stats | undefined => {
  try {
    return statSync(path)
  } catch {
    return undefined
  }
}

const isLink = (path: string): boolean => {
  try {
    return lstatSync(path).isSymbolicLink()
  } catch {
    return false
  }
}

const sameFile = (one: Stats, other: Stats | undefined): boolean =>
  one.ino === other?.ino && one.dev === other.dev

const besideIt = (real: string): string => join(dirname(real), `.ninepin-${randomBytes(6).toString('hex')}`)

function begin(target: Target): Draft {
  const { there, real, path } = target
  const replaces = there === undefined || there.isFile()
  const beside = replaces ? besideIt(real) : real
  if (replaces) clearOnSignal(beside)
  return telling(path, () => ({ target, beside, file: openSync(beside, replaces ? 'wx' : 'w') }))
}

/** Closes a draft when all of it is on the disk. */
function finish(draft: Draft): void {
  const { target, beside, file } = draft
  if (beside !== target.real) {
    if (target.there !== undefined) chmodSync(beside, target.there.mode)
    fsyncSync(file)
  }
  draft.file = -1
  closeSync(file)
}

/** Puts drafts in their places: all, or none where one cannot be. */
function publish(drafts: readonly Draft[]): void {
  const files = drafts.filter(({ target, beside }) => beside !== target.real)
  const undo: (() => void)[] = []
  try {
    for (const { target, beside } of files) {
      telling(target.path, () => {
        const before = target.there !== undefined && files.length > 1 ? keep(target.real) : null
        renameSync(beside, target.real)
        undo.push(() => (before === null ? rmSync(target.real) : renameSync(before, target.real)))
      })
    }
  } catch (cause) {
    for (const step of undo.reverse()) step()
    throw cause
  }
  for (const folder of new Set(files.map(({ target }) => dirname(target.real)))) syncFolder(folder)
}

/** A second name for what stands at a path, or a copy where the disk has no second names. */
function keep(real: string): string {
  const before = besideIt(real)
  clearOnSignal(before)
  try {
    linkSync(real, before)
  } catch {
    copyFileSync(real, before, constants.COPYFILE_EXCL)
  }
  return before
}

/** A name is on the disk when its folder is. Some systems have no way to say so (Windows opens no folder as a file). */
function syncFolder(folder: string): void {
  try {
    const file = openSync(folder, 'r')
    try {
      fsyncSync(file)
    } finally {
      closeSync(file)
    }
  } catch {
    return
  }
}

/** Clears away what is left of a draft. */
function discard(draft: Draft): void {
  if (draft.file >= 0) closeSync(draft.file)
  for (const path of unfinished) rmSync(path, { force: true })
  unfinished.clear()
}

/** Files that nobody is to find when the program ends. */
const unfinished = new Set<string>()

const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const
let listening = false

function clearOnSignal(path: string): void {
  unfinished.add(path)
  if (listening) return
  listening = true
  for (const signal of SIGNALS) {
    process.once(signal, () => {
      for (const one of unfinished) rmSync(one, { force: true })
      // The listener is gone by now, so this ends the program, and whoever started it sees by what.
      process.kill(process.pid, signal)
    })
  }
}

/** Does something with a file; what the system says against it becomes a sentence. Other faults, in making the content, go on. */
function telling<T>(path: string, act: () => T): T {
  try {
    return act()
  } catch (cause) {
    if (cause instanceof BadInput || !(cause instanceof Error && 'code' in cause)) throw cause
    throw new BadInput(named(path), '', t.notWritten({ why: why(cause, 'written') }))
  }
}
