import { writeFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { SYMPTOM_NAMES } from '../../src/bench/symptoms/symptoms.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { writeProfile } from '../../src/profile/file.ts'
import { builtCli } from './run-cli.ts'

const cli = builtCli()

describe('symptom', () => {
  it('tells causes, what tells them apart, and what to try first', () => {
    const { code, out, err } = cli.run('symptom', 'six-button', '--saw', 'walks')
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out).toMatch(/^With Six buttons, what you saw fits a title that\n/)
    expect(out).toContain('- reads three cycles in one burst and uses each (or 3 more of the kind')
    expect(out).toContain('  Reads three cycles in one burst. Cycle 3 low carries the identification')
    expect(out).toMatch(/^To tell them apart: hold Up, and look\.$/m)
    expect(out).toMatch(
      /^Try first: hold Mode \(centre-left\) at power-on\. It helps with \d+ of these \d+\.$/m,
    )
  })

  it('says it all in JSON, the steps to the end', () => {
    const told = cli.json('symptom', 'six-button', '--saw', 'Walks, sticks,walks')
    expect(told).toMatchObject({
      profile: 'six-button',
      saw: ['walks', 'sticks'],
      unexplained: [],
      trial: { act: { kind: 'hold' } },
      tryFirst: { remedy: { kind: 'power-on', held: ['centre-left'] } },
    })
    expect(told).toHaveProperty('causes.0.title.format', 'ninepin-title')
    expect(told).toHaveProperty('trial.outcomes.0.patterns')
  })

  it('turns to profiles of one’s own before the built-in ones', () => {
    const name = 'own.json'
    const own = { ...BUILT_IN_PROFILES['three-button'], name: 'Own' }
    writeFileSync(cli.path(name), writeProfile(own))
    const bare = { ...BUILT_IN_PROFILES['six-button'], powerOn: [] }
    writeFileSync(cli.path('bare.json'), writeProfile(bare))
    const { out } = cli.run('symptom', 'bare.json', '--saw', 'walks', '--have', name)
    expect(out).toContain(`Try first: choose the profile ${name} and flash it.`)
  })

  it('says where to look when no read pattern shows it', () => {
    const { code, out } = cli.run('symptom', 'six-button', '--saw', 'nothing')
    expect(code).toBe(0)
    expect(out).toContain('No known read pattern shows this with Six buttons')
    expect(out).toContain('Look at the cable')
  })

  it('names the words that it does not know, and the ones that it does', () => {
    const { code, out, err } = cli.run('symptom', 'six-button', '--saw', 'walks,wobbles,hums')
    expect({ code, out }).toEqual({ code: 2, out: '' })
    expect(err).toContain('"wobbles", "hums"')
    for (const word of SYMPTOM_NAMES) expect(err).toContain(word)
    expect(cli.run('symptom', 'six-button', '--saw', '').code).toBe(2)
    expect(cli.run('symptom', 'six-button').err).toContain('missing --saw <words>')
    expect(cli.run('symptom', 'no-such-profile', '--saw', 'walks').code).toBe(2)
  })

  it('its help explains every word', () => {
    const { out } = cli.run('symptom', '--help')
    for (const word of SYMPTOM_NAMES) expect(out).toMatch(new RegExp(`^  ${word} +\\w`, 'm'))
  })
})
