import type { Control } from '../../pad/controls.ts'

/** The drawn pad: a plain twin-stick pad, seen from above. Measures in the drawing's own units, 440 wide and 292 high. */

export const PAD_VIEW = { width: 440, height: 292 } as const

/** Outline, left and right the same. */
export const PAD_BODY =
  'M112 66H328C378 66 404 104 418 182C427 234 419 268 392 268C366 268 353 238 330 216Q321 208 306 208' +
  'H134Q119 208 110 216C87 238 74 268 48 268C21 268 13 234 22 182C36 104 62 66 112 66Z'

export interface DrawnControl {
  readonly control: Control
  readonly path: string
  /** Where its label stands, if there is room for one. */
  readonly label?: { readonly x: number; readonly y: number }
}

const circle = (x: number, y: number, r: number): string =>
  `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0Z`

const bar = (x: number, y: number, width: number, height: number): string => {
  const r = height / 2
  return `M${x + r} ${y}h${width - height}a${r} ${r} 0 0 1 0 ${height}h${height - width}a${r} ${r} 0 0 1 0 ${-height}Z`
}

/** A trigger: round above, straight below. */
const trigger = (x: number, y: number, width: number, height: number): string =>
  `M${x} ${y + height}v${12 - height}q0 -12 12 -12h${width - 24}q12 0 12 12v${height - 12}Z`

/** A quarter of a ring, towards one direction. */
function quarter(x: number, y: number, inner: number, outer: number, towardsDegrees: number): string {
  const at = (radius: number, degrees: number) => {
    const radians = (degrees * Math.PI) / 180
    return `${(x + radius * Math.cos(radians)).toFixed(2)} ${(y + radius * Math.sin(radians)).toFixed(2)}`
  }
  const [from, to] = [towardsDegrees - 42, towardsDegrees + 42]
  return `M${at(outer, from)}A${outer} ${outer} 0 0 1 ${at(outer, to)}L${at(inner, to)}A${inner} ${inner} 0 0 0 ${at(inner, from)}Z`
}

const DIRECTIONS = { up: -90, down: 90, left: 180, right: 0 } as const

function stick(side: 'left' | 'right', x: number, y: number): DrawnControl[] {
  return [
    { control: `stick-${side}-press`, path: circle(x, y, 13), label: { x, y } },
    ...(Object.keys(DIRECTIONS) as (keyof typeof DIRECTIONS)[]).map((direction) => ({
      control: `stick-${side}-${direction}` as const,
      path: quarter(x, y, 17, 27, DIRECTIONS[direction]),
    })),
  ]
}

const [CROSS_X, CROSS_Y] = [104, 126]
const cross = (dx: number, dy: number, control: Control): DrawnControl => {
  const [x, y] = [CROSS_X + dx * 27, CROSS_Y + dy * 27]
  return { control, path: `M${x - 13.5} ${y - 13.5}h27v27h-27Z`, label: { x, y } }
}

const [FACE_X, FACE_Y] = [336, 126]
const face = (dx: number, dy: number, control: Control): DrawnControl => {
  const [x, y] = [FACE_X + dx * 28, FACE_Y + dy * 28]
  return { control, path: circle(x, y, 15), label: { x, y } }
}

export const DRAWN_CONTROLS: readonly DrawnControl[] = [
  { control: 'trigger-left', path: trigger(72, 4, 76, 26), label: { x: 110, y: 18 } },
  { control: 'trigger-right', path: trigger(292, 4, 76, 26), label: { x: 330, y: 18 } },
  { control: 'shoulder-left', path: bar(64, 35, 96, 22), label: { x: 112, y: 46 } },
  { control: 'shoulder-right', path: bar(280, 35, 96, 22), label: { x: 328, y: 46 } },
  cross(0, -1, 'dpad-up'),
  cross(0, 1, 'dpad-down'),
  cross(-1, 0, 'dpad-left'),
  cross(1, 0, 'dpad-right'),
  face(0, 1, 'face-south'),
  face(1, 0, 'face-east'),
  face(-1, 0, 'face-west'),
  face(0, -1, 'face-north'),
  { control: 'centre-left', path: bar(172, 94, 38, 18), label: { x: 191, y: 103 } },
  { control: 'centre-right', path: bar(230, 94, 38, 18), label: { x: 249, y: 103 } },
  { control: 'centre', path: circle(220, 132, 11) },
  ...stick('left', 168, 172),
  ...stick('right', 272, 172),
]
