import { controlMask } from '../pad/controls.ts'
import type { ControlMask } from '../pad/controls.ts'
import type { Layer } from './schema.ts'

/** Which layers are on. A layer that is held follows its controls; one that is toggled changes when the first of them comes to pass. */
export class LayersOn {
  readonly #layers: readonly { readonly layer: Layer; readonly by: ControlMask }[]
  /** Places of the toggled ones that are on. */
  readonly #toggledOn = new Set<number>()
  #passing: ControlMask = 0

  constructor(layers: readonly Layer[]) {
    this.#layers = layers.map((layer) => ({ layer, by: controlMask(layer.by) }))
  }

  /** The layers that are on, in their order, now that exactly these controls pass. */
  pass(passing: ControlMask): readonly Layer[] {
    this.#layers.forEach(({ layer, by }, k) => {
      if (layer.kind === 'held' || (by & this.#passing) !== 0 || (by & passing) === 0) return
      if (!this.#toggledOn.delete(k)) this.#toggledOn.add(k)
    })
    this.#passing = passing
    return this.on
  }

  /** The layers that are on, in their order. */
  get on(): readonly Layer[] {
    return this.#layers
      .filter(({ layer, by }, k) =>
        layer.kind === 'held' ? (by & this.#passing) !== 0 : this.#toggledOn.has(k),
      )
      .map(({ layer }) => layer)
  }
}
