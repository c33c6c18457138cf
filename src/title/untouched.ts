import type { Source } from './evidence.ts'
import type { Title } from './schema.ts'

/** Whether every figure of a title's reads stands as it was preset: nobody has described it yet. */
export const isUntouched = ({ modes }: Title): boolean =>
  modes.every(({ reads }) =>
    reads.every(
      ({ starts, steps }) =>
        isPreset(starts.kind === 'frame' ? starts.source : starts.after.source) &&
        steps.every((step) => 'repeat' in step || 'select' in step || isPreset(step.source)) &&
        steps.every((step) => 'repeat' in step || step.after.maxNs === 0 || isPreset(step.after.source)),
    ),
  )

const isPreset = (source: Source | undefined): boolean => source?.kind === 'preset'
