import { ESLint } from 'eslint'
import { beforeAll, expect, it } from 'vitest'

const eslint = new ESLint()

/** The lines at which a text is refused, in a file that is not there. */
async function lint(name: string, code: string): Promise<number[]> {
  const [result] = await eslint.lintText(code, { filePath: `src/ui/look/${name}` })
  return (result?.messages ?? []).filter(({ ruleId }) => ruleId?.startsWith('texts/')).map(({ line }) => line)
}

// The first text that ESLint sees loads its parsers.
beforeAll(async () => void (await lint('planted.ts', '')), 120_000)

it('refuses letters in markup, and in what is seen or heard', async () => {
  const refused = [
    '<p>Saved.</p>',
    "<p>{isKept ? 'kept' : t.lost}</p>",
    '<p>{`${n} cells`}</p>',
    "<p>{n + ' cells'}</p>",
    '<input placeholder="Name" />',
    '<Field label="Name" />',
    "<Field label={isKept ? t.kept : 'lost'} />",
    '{#if isKept}Saved{/if}',
  ]
  for (const code of refused)
    expect([code, (await lint('Planted.svelte', code)).length > 0]).toEqual([code, true])
})

it('lets signs, figures, names, values and keys pass', async () => {
  const passed = [
    '<h1>Ninepin</h1>',
    '<p class="soft small" id="some-thing">{t.kept} · {n} µ</p>',
    "<p class={isKept ? 'kept soft' : 'lost'}>?</p>",
    '<Button kind="primary" onclick={() => go(\'first\')}>{t.go}</Button>',
    "<p>{kind === 'kept' ? t.kept : t.lost}</p>",
    '<p style:fill={isKept ? `url(#kept)` : null}>?</p>',
    '<style>p { color: red }</style>',
  ]
  for (const code of passed) expect([code, await lint('Planted.svelte', code)]).toEqual([code, []])
})

it('refuses sentences in scripts, but not what only a programmer reads', async () => {
  const code = [
    "export const said = 'Nothing was changed.'",
    'export const told = (n: number) => `${n} cells differ`',
    "export const option = { label: 'Name', value: 'name' }",
    "export const id = 'trigger-left'",
    "export const fail = () => { throw new Error('the page has no place for the app') }",
  ].join('\n')
  expect(await lint('planted.ts', code)).toEqual([1, 2, 3])
  expect(await lint('planted-texts.ts', code)).toEqual([])
})
