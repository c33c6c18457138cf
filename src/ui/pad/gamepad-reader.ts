import { gamepadReport } from '../../pad/gamepad-report.ts'
import type { StickPair } from '../../pad/hold.ts'
import { STANDARD_LAYOUT, plainGamepadLayout } from '../../pad/layout/built-in.ts'
import { newestFor } from '../../pad/layout/by-numbers.ts'
import type { Layout } from '../../pad/layout/schema.ts'
import { LiveReader } from './live-reader.ts'
import { padNumbers } from './pad-names.ts'
import type { PadNow } from './pad-now.ts'

/** How a gamepad of the browser is read: by a layout that was learned for it, by the standard one, or as its buttons come. */
export type GamepadLayoutKind = 'learned' | 'standard' | 'in-order'

/** Reads one gamepad. */
export class GamepadReader {
  readonly name: string
  readonly by: GamepadLayoutKind
  readonly #reader: LiveReader

  /** @param layouts those on the shelf; the newest for this pad counts */
  constructor({ id, mapping, buttons, axes }: Gamepad, layouts: readonly Layout[], sticks: StickPair) {
    const learned = newestFor(layouts, 'gamepad', padNumbers(id))
    const isStandard = mapping === 'standard'
    this.name = id
    this.by = learned ? 'learned' : isStandard ? 'standard' : 'in-order'
    this.#reader = new LiveReader(
      learned ?? (isStandard ? STANDARD_LAYOUT : plainGamepadLayout(buttons.length, axes.length)),
      sticks,
    )
  }

  setSticks(sticks: StickPair): void {
    this.#reader.setSticks(sticks)
  }

  read(gamepad: Gamepad): PadNow {
    return this.#reader.report(0, gamepadReport(gamepad))
  }
}
