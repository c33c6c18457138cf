import { setLanguage } from '../words/texts.ts'
import type { Language } from '../words/texts.ts'

declare global {
  /** A language that was laid out before the app began, as the tests do; English where there is none. */
  var ninepinLanguage: Language | undefined
}

if (globalThis.ninepinLanguage) {
  setLanguage(globalThis.ninepinLanguage)
  document.documentElement.lang = globalThis.ninepinLanguage.code
}
