import type { SVGAttributes } from 'svelte/elements'

/** How each boundary of a stick is drawn, on its map and in the key to it. */
export const STICK_LINES = {
  press: { 'stroke-width': 2 },
  release: { 'stroke-dasharray': '5 4', 'stroke-width': 1.5 },
  outer: { 'stroke-dasharray': '9 3 2 3' },
} as const satisfies Record<string, SVGAttributes<SVGPathElement>>
