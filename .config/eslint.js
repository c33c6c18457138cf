import js from '@eslint/js'
import ts from 'typescript-eslint'
import svelte from 'eslint-plugin-svelte'
import globals from 'globals'
import svelteConfig from '../svelte.config.js'

/** The rooms along the path of a press, in order. A room may import only what its line names. */
const rooms = {
  port: [],
  document: ['port'],
  pad: ['port', 'document'],
  profile: ['port', 'pad', 'document'],
  title: ['port', 'document'],
  bench: ['profile', 'title', 'port', 'pad'],
  adapter: ['profile', 'port', 'pad', 'document'],
  shelf: ['profile', 'title', 'port', 'pad', 'document'],
  cli: ['port', 'pad', 'profile', 'title', 'bench', 'adapter', 'shelf', 'document'],
  ui: ['port', 'pad', 'profile', 'title', 'bench', 'adapter', 'shelf', 'document'],
}

const oneWay = Object.entries(rooms).map(([room, allowed]) => {
  const closed = Object.keys(rooms).filter((other) => other !== room && !allowed.includes(other))
  return {
    files: [`src/${room}/**/*.{ts,svelte}`],
    rules: {
      'no-restricted-imports': [
        'error',
        {
          patterns: [
            {
              regex: `^(\\.\\./)+(${closed.join('|')})/`,
              message: `${room} stands before that room on the path of a press; imports go one way (DEVELOPERS.md).`,
            },
          ],
        },
      ],
    },
  }
})

export default ts.config(
  { ignores: ['dist/', 'node_modules/', 'static/'] },
  js.configs.recommended,
  ...ts.configs.strict,
  ...svelte.configs.recommended,
  {
    languageOptions: { globals: { ...globals.browser, ...globals.node } },
    rules: {
      '@typescript-eslint/no-explicit-any': 'error',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_' }],
      'no-undef': 'off',
      eqeqeq: 'error',
    },
  },
  {
    files: ['**/*.svelte', '**/*.svelte.ts'],
    languageOptions: { parserOptions: { parser: ts.parser, svelteConfig } },
  },
  // Profiles and pins are pure: nothing of the outside world may be reached from there.
  {
    files: ['src/port/**/*.ts', 'src/profile/**/*.ts'],
    rules: {
      'no-restricted-globals': [
        'error',
        'window',
        'document',
        'navigator',
        'process',
        'fetch',
        'performance',
        'setTimeout',
      ],
    },
  },
  ...oneWay,
)
