import { setLanguage } from '../words/texts.ts'

if (globalThis.ninepinLanguage) {
  setLanguage(globalThis.ninepinLanguage)
  document.documentElement.lang = globalThis.ninepinLanguage.code
}
