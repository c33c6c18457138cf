import { writeFileSync } from 'node:fs'
import { pathToFileURL } from 'node:url'
import { beforeAll, describe, expect, it } from 'vitest'
import { outsideBrackets, pseudoLanguage } from '../words/pseudo.ts'
import { builtCli, demoTitle } from './run-cli.ts'

/** The command line speaks a made-up language: what is printed without brackets was never a message. */

const cli = builtCli()
const BURST = demoTitle('copper-kite-rally')
const TIDE = demoTitle('tidewatch')

beforeAll(() => {
  writeFileSync(cli.path('language.mjs'), `globalThis.ninepinLanguage = ${JSON.stringify(pseudoLanguage())}`)
})

const spoken = (...args: readonly string[]) =>
  cli.runUnder(['--import', pathToFileURL(cli.path('language.mjs')).href], ...args)

describe('in a made-up language', () => {
  it('reasons are messages and nothing else', () => {
    const { out, code } = spoken('check', 'six-button', '--title', BURST, TIDE)
    expect(code).toBe(1)
    // A pair's reason stands beneath its first line. What else is printed is still to be converted.
    const reasons = out
      .split('\n')
      .filter((_, k, lines) => /^(?:misread|tight|clean) /.test(lines[k - 1] ?? ''))
    expect(reasons).toHaveLength(2)
    for (const reason of reasons) {
      expect(reason).toContain('⟦')
      expect(outsideBrackets(reason)).not.toMatch(/\p{L}/u)
    }
  })

  it('JSON is what it always was', () => {
    const args = ['check', 'six-button', '--title', BURST, TIDE, '--json']
    expect(spoken(...args)).toEqual(cli.run(...args))
  })
})
