import { foreign } from '../../words/foreign.ts'
import type { Result } from '../../port/result.ts'
import { err, ok } from '../../port/result.ts'
import type { VcdFault } from './capture.ts'
import type { CodeKey } from './code.ts'
import { clip, quote } from './text.ts'

/** What one `$var` says. */
export interface Wire {
  /** `wire`, `reg` and so on, as the file has it. */
  readonly kind: string
  readonly bits: number
  readonly code: CodeKey
  readonly name: string
  /** Scopes and name. */
  readonly path: string
  /** `[0]` or `[7:0]`; empty where the file gives none. */
  readonly range: string
  readonly line: number
}

/** Variables that carry no level, whatever size they give. `string` and `realtime` are from IEEE 1800. */
const NO_LEVEL = new Set(['real', 'realtime', 'event', 'string'])

const MAX_LISTED = 10

export const hasLevel = ({ kind }: Wire): boolean => !NO_LEVEL.has(kind)

/** The path that asks for this wire again. */
export const wirePath = ({ path, range }: Wire): string => path + range

/** Picks the wire that was asked for out of all that a header declares, and forgets the others. */
export class WireFinder {
  readonly #asked: string
  /** Named by path or by name alone; several names on one code are one wire. */
  readonly #byPath = new Map<CodeKey, Wire>()
  readonly #byName = new Map<CodeKey, Wire>()
  /** The first few that could have been asked for. */
  readonly #oneBit = new Set<string>()

  /** @param asked a name, or a path with dots between the scopes; either may end in a bit such as `[0]` */
  constructor(asked: string) {
    this.#asked = foreign(asked.replace(/\s+(?=\[)/g, ''))
  }

  add(wire: Wire): void {
    if (this.#means(wire.path, wire.range)) remember(this.#byPath, wire)
    if (this.#means(wire.name, wire.range)) remember(this.#byName, wire)
    if (wire.bits === 1 && hasLevel(wire) && this.#oneBit.size <= MAX_LISTED) this.#oneBit.add(wirePath(wire))
  }

  /** @param line where the header ends */
  found(line: number): Result<Wire, VcdFault> {
    const asked = quote(this.#asked)
    // A full path comes first, or nothing could tell a wire outside all scopes from its namesakes.
    const wires = [...(this.#byPath.size > 0 ? this.#byPath : this.#byName).values()]
    const [wire] = wires
    if (!wire) {
      const others = list([...this.#oneBit])
      const hint = others ? `one-bit wires here: ${others}` : 'the file declares no one-bit wire'
      return err({ line, message: `No wire is called ${asked}; ${hint}.` })
    }
    if (wires.length > 1) {
      const message = `${asked} names different wires: ${list(wires.map(wirePath))}; give the full path of one.`
      return err({ line, message })
    }
    if (!hasLevel(wire)) {
      return err({
        line: wire.line,
        message: `${quote(wirePath(wire))} is of type ${foreign(clip(wire.kind))}, not a wire.`,
      })
    }
    if (wire.bits !== 1) {
      return err({ line: wire.line, message: `${quote(wirePath(wire))} is ${wire.bits} bits wide, not one.` })
    }
    return ok(wire)
  }

  #means(name: string, range: string): boolean {
    return name === this.#asked || name + range === this.#asked
  }
}

/** One more than is listed is enough to know that there are more. */
function remember(wires: Map<CodeKey, Wire>, wire: Wire): void {
  if (wires.size <= MAX_LISTED && !wires.has(wire.code)) wires.set(wire.code, wire)
}

const list = (labels: readonly string[]): string =>
  labels.slice(0, MAX_LISTED).map(clip).join(', ') + (labels.length > MAX_LISTED ? ' and more' : '')
