import { replyTo } from '../bench/reply.ts'
import { t as documentTexts } from '../document/document-texts.ts'
import type { Input } from '../port/pins.ts'
import { GLITCH_NS } from '../title/select-line.ts'
import { SelectReader } from '../title/select-reader.ts'
import { vcdPieces } from '../title/vcd/write.ts'
import { exactTimeWord } from '../words/figures.ts'
import { BadInput, EXIT } from './fail.ts'
import { chunksOf, loadProfile } from './files.ts'
import { writePieces } from './write.ts'
import { jsonText, say } from './output.ts'
import { fileTexts as t } from './output-texts.ts'

export interface ReplyOptions {
  readonly select: string
  readonly signal?: string
  readonly hold: readonly Input[]
  readonly out: string
  readonly json?: true
}

/** Answers a captured select line with what would stand on the pins. */
export async function reply(profilePath: string, options: ReplyOptions): Promise<number> {
  const profile = loadProfile(profilePath)
  const reader = new SelectReader(options.signal === undefined ? {} : { signal: options.signal })
  for (const chunk of chunksOf(options.select)) if (!reader.push(chunk)) break
  const capture = reader.finish()
  if (!capture.ok)
    throw new BadInput(
      options.select,
      documentTexts.atLine({ line: capture.error.line }),
      capture.error.message,
    )
  const { signalPath, levels, glitches, endNs } = capture.value
  await writePieces(options.out, vcdPieces(replyTo(profile, options.hold, capture.value)), [
    profilePath,
    options.select,
  ])
  const told = {
    profile: profile.name,
    signal: signalPath,
    selectChanges: levels.length,
    shortPulses: glitches,
    endNs,
    out: options.out,
  }
  if (options.json) {
    say(jsonText(told))
    return EXIT.fine
  }
  say(
    t.answered({
      file: options.out,
      profile: profile.name,
      changes: levels.length,
      signal: signalPath,
      endNs,
    }),
  )
  if (glitches.count > 0) {
    say(
      t.shortPulses({
        n: glitches.count,
        signal: signalPath,
        least: exactTimeWord(GLITCH_NS),
        first: exactTimeWord(glitches.firstNs),
      }),
    )
  }
  return EXIT.fine
}
