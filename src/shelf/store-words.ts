const GOES_ON =
  'Everything works, and saving is tried again by itself, but what is not saved is lost when this page is closed. Export what you want to keep.'

const nameOf = (cause: unknown): string => (cause instanceof DOMException ? cause.name : '')

/** Why the browser did not save, and what to do. */
export function notSavedSentence(cause: unknown): string {
  if (nameOf(cause) === 'QuotaExceededError') {
    return `This browser has no room left to save your work. ${GOES_ON} Free some space on this machine.`
  }
  return `This browser did not save your last changes. ${GOES_ON}`
}

/** Why the shelf could not be read, and what to do. */
export function notReadSentence(cause: unknown): string {
  if (nameOf(cause) === 'SecurityError') {
    return `This browser does not let the page save anything (a private window, or storage switched off). ${GOES_ON}`
  }
  return `The shelf could not be read yet. What is on it is untouched. ${GOES_ON}`
}

/** The storage takes long to answer. */
export const READING_SLOWLY =
  'The shelf is still being read. What is on it is untouched, and appears here as soon as the browser answers. What you make meanwhile is added to it.'

export const SAVING_SLOWLY =
  'The browser has not confirmed the last save yet. Leave this page open until it has.'
