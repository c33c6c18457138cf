import { setLanguage } from '../words/texts.ts'

// What programs read is the same in every language.
if (globalThis.ninepinLanguage && !process.argv.includes('--json')) setLanguage(globalThis.ninepinLanguage)
