import { readFileSync, writeFileSync } from 'node:fs'
import { pathToFileURL } from 'node:url'
import { beforeAll, describe, expect, it } from 'vitest'
import { SYMPTOM_NAMES } from '../../src/bench/symptoms/symptoms.ts'
import { FINDING_KINDS } from '../../src/bench/judgement.ts'
import { CONTROLS } from '../../src/pad/controls.ts'
import { USAGE_PAGES } from '../../src/pad/descriptor/usage-tables.ts'
import { CROSSES } from '../../src/pad/layout/schema.ts'
import { INPUTS } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { writeProfile } from '../../src/profile/file.ts'
import { writeVcd } from '../../src/title/vcd/write.ts'
import { outsideBrackets, pseudoLanguage } from '../words/pseudo.ts'
import { simulate } from '../title/infer/simulate.ts'
import { builtCli, demoTitle } from './run-cli.ts'

/** The command line speaks a made-up language: what is printed without brackets was never a message. */

const cli = builtCli()
const BURST = demoTitle('copper-kite-rally')
const TIDE = demoTitle('tidewatch')
const LANTERNS = demoTitle('harbour-lanterns')
const SLACK = demoTitle('slack-water-signal')

const put = (name: string, content: string | Uint8Array): void => writeFileSync(cli.path(name), content)

/** Select as a console moves it that plays a title of four cycles. */
function capture(): string {
  const { timesNs, values, endNs } = simulate(
    {
      standard: '525-line',
      offsetsNs: [200_000],
      cycles: 4,
      spacingNs: { minNs: 3_000, maxNs: 3_400 },
      rest: 'high',
      jitterNs: 0,
    },
    { frames: 20 },
  )
  const changes = [...timesNs].map((atNs, k) => ({
    atNs,
    signal: 'select',
    value: values[k] ? ('1' as const) : ('0' as const),
  }))
  return writeVcd({ module: 'port', signals: ['select'], initial: { select: '1' }, changes, endNs })
}

beforeAll(() => {
  put('language.mjs', `globalThis.ninepinLanguage = ${JSON.stringify(pseudoLanguage())}`)
  put('select.vcd', capture())
  put('pad.hex', readFileSync('tests/pad/descriptor/real/06-pad.hex'))
  const six = BUILT_IN_PROFILES['six-button']
  put(
    'repeats.json',
    writeProfile({ ...six, repeat: { a: { kind: 'reads', pressedReads: 2, releasedReads: 3 } } }),
  )
  put('wrong.json', writeProfile({ ...six, idleResetNs: 1 }))
  put('cut.json', writeProfile(six).slice(0, 300))
  put('cut.vcd', capture().slice(0, 60))
  put('cut.image', 'N9PI')
  put('empty', '')
})

const spoken = (...args: readonly string[]) =>
  cli.runUnder(['--import', pathToFileURL(cli.path('language.mjs')).href], ...args)

/** What is called the same in every language: codes of inputs, controls, findings and symptoms, units, and names from standards. */
const SAME: ReadonlySet<string> = new Set([
  ...[...INPUTS, ...CONTROLS, ...CROSSES, ...FINDING_KINDS, ...SYMPTOM_NAMES, 'ns', 'µs', 'ms'],
  ...['Button', ...[...USAGE_PAGES.values()].flatMap(({ name, rows }) => [name, ...rows.flat().map(String)])]
    .join(' ')
    .split(' '),
])

/** The words of a text that are neither within a message nor a code. */
const bareWords = (text: string): string[] =>
  (outsideBrackets(text).match(/[\p{L}\d-]*\p{L}{2,}[\p{L}\d-]*/gu) ?? []).filter((word) => !SAME.has(word))

describe('in a made-up language', () => {
  it.each([
    ['check', 'six-button', '--title', BURST, TIDE],
    ['explain', 'six-button', '--title', BURST, '--out', 'wave.vcd'],
    ['explain', 'six-button', '--title', TIDE, '--out', 'none.vcd'],
    ['fix', 'six-button', '--title', BURST, '--out', 'fixed.json'],
    ['plan', 'six-button', 'three-button', '--title', BURST, TIDE, '--out-dir', 'banks'],
    ['plan', 'six-button', 'three-button', '--title', BURST, TIDE],
    ['delay', 'six-button', '--title', LANTERNS],
    ['repeat', 'repeats.json', '--title', SLACK, '--input', 'a'],
    ['repeat', 'six-button', '--title', SLACK, '--input', 'b'],
    ['symptom', 'six-button', '--saw', 'walks'],
    ['reply', 'six-button', '--select', 'select.vcd', '--out', 'pins.vcd'],
    ['infer', 'select.vcd', '--out', 'title.json'],
    ['descriptor', 'pad.hex', '--layout', 'pad.json', '--pad', '1234:5678'],
    ['build', 'six-button', '--pad', 'pad.json', '--out', 'six.image'],
    ['build', 'six-button', '--uf2', '--bank', '2', '--out', 'six.uf2'],
    ['unbuild', 'six.image', '--out', 'back.json'],
    ['unbuild', 'six.image', '--out', 'back.json', '--pads', '.'],
    ['flash', 'six.image', '--bank', '1', '--emulated'],
    ['met', '--emulated'],
    ['met', '--emulated', '--seen'],
    ['met', '--emulated', '--forget'],
  ])('%s %s says nothing but messages', (...args) => {
    const { out, err, code } = spoken(...args)
    expect([err, code === 0 || code === 1]).toEqual(['', true])
    expect(out).toContain('⟦')
    expect(bareWords(out)).toEqual([])
  })

  it.each([
    ['chek'],
    ['check', 'six-button', '--titel', 'x'],
    ['check'],
    ['check', 'six-button'],
    ['check', 'six-button', '--title'],
    ['check', 'six-button', '--margin', '2.5', '--title', TIDE],
    ['check', 'six-button', '--reply', '100..32', '--title', TIDE],
    ['delay', 'six-button', '--input', 'q', '--title', TIDE],
    ['delay', 'six-button', '--pad-interval', '0', '--title', TIDE],
    ['fix', 'six-button', '--pick', '0', '--title', BURST],
    ['fix', 'six-button', '--pick', '9', '--title', BURST],
    ['symptom', 'six-button', '--saw', 'flies'],
    ['build', 'six-button', 'three-button', '--out', 'x'],
    ['build', 'six-button', '--bank', '5', '--out', 'x'],
    ['build', 'six-button', '--uf2', '--out', 'x'],
    ['build', 'six-button', '--bank', '1', '--out', 'x'],
    ['flash', 'six-button', '--bank', '1'],
    ['flash', 'six-button', '--bank', '1', '--emulated', '--port', 'x'],
    ['flash', 'six-button', '--bank', '1', '--port', 'nowhere'],
    ['met', '--emulated', '--descriptor', '9', '--out', 'x'],
    ['met', '--emulated', '--descriptor', '1'],
    ['met', '--emulated', '--descriptor', '1', '--out', 'x'],
    ['met', '--emulated', '--seen', '--forget'],
    ['descriptor', 'pad.hex', '--pad', '1:2', '--layout', 'x'],
    ['descriptor', 'pad.hex', '--layout', 'x'],
    ['descriptor', 'cut.json'],
    ['reply', 'six-button', '--hold', 'jump', '--select', 'select.vcd', '--out', 'x'],
    ['reply', 'six-button', '--select', 'cut.vcd', '--out', 'x'],
    ['infer', 'cut.vcd', '--out', 'x'],
    ['infer', 'select.vcd', '--signal', 'strobe', '--out', 'x'],
    ['build', 'nowhere', '--out', 'x'],
    ['build', '.', '--out', 'x'],
    ['build', 'empty', '--out', 'x'],
    ['build', 'cut.json', '--out', 'x'],
    ['build', 'wrong.json', '--out', 'x'],
    ['build', 'wrong.json', '--out', 'wrong.json'],
    ['build', 'six-button', '--out', 'nowhere/x'],
    ['unbuild', 'cut.image', '--out', 'x'],
    ['check', 'six-button', '--title', 'wrong.json'],
  ])('%s %s: what is wrong is a message', (...args) => {
    const { out, err, code } = spoken(...args)
    expect([out, code]).toEqual(['', 2])
    expect(err).toContain('⟦')
    expect(bareWords(err)).toEqual(['ninepin'])
  })

  it('a help is made of messages, names of commands and options, and examples', () => {
    const { out } = spoken('--help')
    const [words = ''] = out.split('\n  ninepin check')
    const names = /^ {2}(?:[a-z]+|-[\w-]+(?:, --[a-z]+)?)(?: (?:\[[a-z]+\]|<[^>]+>))*/gm
    expect(bareWords(words.replaceAll(names, '').replace('ninepin [options] [command]', ''))).toEqual([])
    for (const command of ['check', 'build', 'met']) {
      const help = spoken('help', command).out.replace(/ninepin \w+ \[options\].*/, '')
      expect(bareWords(help.replaceAll(/^ {2}[<-]?[\w-]+[^⟦\n]*/gm, ''))).toEqual([])
    }
  })

  it('JSON is what it always was', () => {
    for (const args of [
      ['check', 'six-button', '--title', BURST, TIDE, '--json'],
      ['build', 'wrong.json', '--out', 'x', '--json'],
    ])
      expect(spoken(...args)).toEqual(cli.run(...args))
  })
})
