import type { ReportDescriptor, ReportItem } from '../../pad/descriptor/shape.ts'
import { usageName, usagesInWords } from '../../pad/descriptor/usage-names.ts'
import { GAMEPAD_AXES, GAMEPAD_BUTTONS } from '../../pad/gamepad-report.ts'
import { GAMEPAD_PLACES, placesOfDescriptor } from '../../pad/learn/places.ts'
import type { ReportPlace } from '../../pad/learn/places.ts'
import { t } from './learn-texts.ts'

/** A place where a control may be found, and what the pad or the browser calls it. */
export interface NamedPlace {
  readonly label: string
  readonly place: ReportPlace
}

/** "bit 5 of byte 3", "high half of byte 3": for what the pad does not describe. */
function rawWord({ kind, field }: ReportPlace): string {
  const [byte, bit] = [field.bit >> 3, field.bit & 7]
  if (kind === 'raw-bit') return t.bitOfByte({ bit, byte })
  if (kind === 'raw-hat') return bit === 0 ? t.lowHalf({ byte }) : t.highHalf({ byte })
  return field.signed ? t.signedByte({ byte }) : t.byte({ byte })
}

function labelOf(place: ReportPlace, { usages, array }: ReportItem): string {
  const [usage] = usages
  if (usage === undefined || place.kind.startsWith('raw-')) return rawWord(place)
  return array ? usagesInWords(usages) : usageName(usage.page, usage.first)
}

/** What places are called. By their field: learning may find that one is of another kind. */
export function placeLabels(places: readonly NamedPlace[]): (place: ReportPlace) => string {
  const labels = new Map(places.map(({ place, label }) => [place.field, label]))
  return (place) => labels.get(place.field) ?? t.unnamed
}

/** Everything in a pad's input reports that a control may be found in. */
export const namedPlaces = ({ reports }: ReportDescriptor): readonly NamedPlace[] =>
  reports.flatMap((report) =>
    report.items.flatMap((item) =>
      placesOfDescriptor({ reports: [{ ...report, items: [item] }] }).map((place) => ({
        label: labelOf(place, item),
        place,
      })),
    ),
  )

const memberOf = (list: 'buttons' | 'axes', k: number): string => `${list}[${k}]`

/** The same for a gamepad of the browser, in the words of its API. */
export const gamepadPlaces = (buttons: number, axes: number): readonly NamedPlace[] => [
  ...GAMEPAD_PLACES.slice(0, Math.min(buttons, GAMEPAD_BUTTONS)).map((place, k) => ({
    label: memberOf('buttons', k),
    place,
  })),
  ...GAMEPAD_PLACES.slice(GAMEPAD_BUTTONS, GAMEPAD_BUTTONS + Math.min(axes, GAMEPAD_AXES)).map(
    (place, k) => ({ label: memberOf('axes', k), place }),
  ),
]
