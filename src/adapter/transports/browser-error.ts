import type { OpenTrouble } from '../troubles.ts'

/** The name of a DOMException, or of whatever else was thrown. */
export const errorName = (error: unknown): string => (error instanceof Error ? error.name : '')

/** For what the specifications do not foresee: the browser's own words. */
export const openFailed = (error: unknown): OpenTrouble => ({
  kind: 'open-failed',
  detail: error instanceof Error ? error.message || error.name : String(error),
})

/**
 * Why the browser's list gave no device. Both specifications use the same two names: NotFoundError when nothing was
 * chosen, SecurityError when the page may not ask (policy, or no press of the user).
 * Source: WICG Web Serial API, requestPort(); WICG WebUSB API, requestDevice().
 */
export function choosingTrouble(error: unknown): OpenTrouble {
  switch (errorName(error)) {
    case 'NotFoundError':
      return { kind: 'nothing-chosen' }
    case 'SecurityError':
      return { kind: 'refused-by-page' }
    default:
      return openFailed(error)
  }
}

/** Runs something whose failure changes nothing, such as the last steps of closing. */
export async function anyway(work: () => Promise<unknown> | undefined): Promise<void> {
  try {
    await work()
  } catch {
    // The device is given up either way.
  }
}
