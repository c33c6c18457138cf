import { gamepadReport } from '../../pad/gamepad-report.ts'
import type { PadIdentity } from '../../pad/layout/schema.ts'
import { gamepadsNow } from '../pad/gamepads-now.ts'
import { padNumbers, shortPadName } from '../pad/pad-names.ts'
import { gamepadPlaces } from './named-places.ts'
import type { NamedPlace } from './named-places.ts'
import type { PadListener, PadSource } from './pad-source.ts'

/** A pad that is learned as the browser's Gamepad API shows it, once a frame. */
export class GamepadSource implements PadSource {
  readonly #id: string
  #frame = 0
  #here = true
  readonly pad: PadIdentity
  readonly name: string
  readonly places: readonly NamedPlace[]

  constructor({ id, buttons, axes }: Pick<Gamepad, 'id' | 'buttons' | 'axes'>) {
    this.#id = id
    this.pad = { via: 'gamepad', ...padNumbers(id), descriptorCrc32: null }
    this.name = shortPadName(id)
    this.places = gamepadPlaces(buttons.length, axes.length)
  }

  start(listener: PadListener): Promise<null> {
    const look = () => {
      const pad = gamepadsNow().find(({ id }) => id === this.#id)
      if ((pad !== undefined) !== this.#here) {
        this.#here = pad !== undefined
        listener.here(this.#here)
      }
      if (pad) listener.report(0, gamepadReport(pad))
      this.#frame = requestAnimationFrame(look)
    }
    look()
    return Promise.resolve(null)
  }

  stop(): Promise<void> {
    cancelAnimationFrame(this.#frame)
    return Promise.resolve()
  }
}
