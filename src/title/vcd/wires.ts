import { foreign } from '../../words/foreign.ts'
import { rowWords } from '../../words/lists.ts'
import type { Result } from '../../port/result.ts'
import { err, ok } from '../../port/result.ts'
import type { VcdFault } from './capture.ts'
import type { CodeKey } from './code.ts'
import { clip, quote } from './text.ts'
import { t } from './vcd-texts.ts'

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
    const name = quote(this.#asked)
    // A full path comes first, or nothing could tell a wire outside all scopes from its namesakes.
    const wires = [...(this.#byPath.size > 0 ? this.#byPath : this.#byName).values()]
    const [wire] = wires
    if (!wire) {
      const message =
        this.#oneBit.size > 0 ? t.noWire({ name, wires: list([...this.#oneBit]) }) : t.noWireAtAll({ name })
      return err({ line, message })
    }
    if (wires.length > 1) {
      return err({ line, message: t.severalWires({ name, wires: list(wires.map(wirePath)) }) })
    }
    if (!hasLevel(wire)) {
      const type = foreign(clip(wire.kind))
      return err({ line: wire.line, message: t.wireType({ name: quote(wirePath(wire)), type }) })
    }
    if (wire.bits !== 1) {
      const { bits } = wire
      return err({ line: wire.line, message: t.wireWidth({ name: quote(wirePath(wire)), bits }) })
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

function list(labels: readonly string[]): string {
  const wires = rowWords(labels.slice(0, MAX_LISTED).map(clip))
  return labels.length > MAX_LISTED ? t.andMore({ wires }) : wires
}
