import { replyTo } from '../bench/reply.ts'
import type { Input } from '../port/pins.ts'
import { MAX_VCD_BYTES } from '../title/vcd/capture.ts'
import { readVcd } from '../title/vcd/read.ts'
import { writeVcd } from '../title/vcd/write.ts'
import { BadInput, EXIT } from './fail.ts'
import { loadProfile, readBytes, writeWhole } from './files.ts'

export interface ReplyOptions {
  readonly select: string
  readonly signal?: string
  readonly hold: readonly Input[]
  readonly out: string
  readonly json?: true
}

/** Answers a captured select line with what would stand on the pins. */
export function reply(profilePath: string, options: ReplyOptions): number {
  const profile = loadProfile(profilePath)
  const bytes = readBytes(options.select, MAX_VCD_BYTES)
  const capture = readVcd(bytes, options.signal === undefined ? {} : { signal: options.signal })
  if (!capture.ok) throw new BadInput(options.select, `line ${capture.error.line}`, capture.error.message)
  const { signalPath, changes, endNs } = capture.value
  const answer = writeVcd(replyTo(profile, options.hold, capture.value))
  writeWhole(options.out, answer, [profilePath, options.select])
  const told = {
    profile: profile.name,
    signal: signalPath,
    selectChanges: changes.length,
    endNs,
    out: options.out,
  }
  console.log(
    options.json
      ? JSON.stringify(told, null, 2)
      : `${options.out}: the pins of ${profile.name} for ${changes.length} changes of ${signalPath}, up to ${endNs} ns.`,
  )
  return EXIT.fine
}
