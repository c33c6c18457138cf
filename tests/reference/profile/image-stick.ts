import { STICK_AT } from '../../../src/profile/image-layout.ts'

const CIRCLE = 0
const OCTAGON = 2

/** Up, down, left, right, as bits in the order of the controls of a stick. */
const WAYS = { up: 1, down: 2, left: 4, right: 8 } as const

/**
 * One stick of an image at work, from the numbers that stand in its bytes. The same meaning as `src/pad/stick/direction.ts`; it
 * shares nothing with it but IMAGE.md ("Sticks").
 */
export class ImageStick {
  readonly #view: DataView
  #held = 0

  /** @param view from the first byte of the stick on */
  constructor(view: DataView) {
    this.#view = view
  }

  #u16(at: number): number {
    return this.#view.getUint16(at, true)
  }

  /** The directions held with the stick there, four bits. */
  move(x: number, y: number): number {
    this.#held = this.#next(x, y)
    return this.#held
  }

  #next(x: number, y: number): number {
    const horizontal = x < 0 ? WAYS.left : WAYS.right
    const vertical = y < 0 ? WAYS.up : WAYS.down
    const [across, along] = [Math.abs(x), Math.abs(y)]
    if (!this.#reaches(across, along, this.#u16(this.#held === 0 ? STICK_AT.press : STICK_AT.release)))
      return 0
    const before = [1, 2, 4, 8].filter((way) => this.#held & way).length
    const ratio = this.#u16([STICK_AT.begin, STICK_AT.enter, STICK_AT.leave][before] ?? STICK_AT.leave)
    if (Math.min(across, along) * 32_768 >= Math.max(across, along) * ratio) return horizontal | vertical
    if (this.#view.getUint8(STICK_AT.diagonal) === 0 && before === 1) {
      const leave = this.#u16(STICK_AT.leave)
      if (this.#held === horizontal && across * 32_768 >= along * leave) return horizontal
      if (this.#held === vertical && along * 32_768 >= across * leave) return vertical
    }
    return across >= along ? horizontal : vertical
  }

  #reaches(across: number, along: number, limit: number): boolean {
    const gate = this.#view.getUint8(STICK_AT.gate)
    if (gate === CIRCLE) return across * across + along * along >= limit * limit
    const greater = Math.max(across, along)
    if (greater >= limit) return true
    return gate === OCTAGON && (across + along) * 46_341 >= limit * 65_536
  }
}
