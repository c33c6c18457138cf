import js from '@eslint/js'
import { defineConfig } from 'eslint/config'
import ts from 'typescript-eslint'
import svelte from 'eslint-plugin-svelte'
import globals from 'globals'
import { textsInCatalogues } from './.config/eslint-literal-text.js'
import { fence } from './.config/fence.js'
import { readRooms } from './.config/rooms.js'
import svelteConfig from './svelte.config.js'

const rooms = readRooms()

export default defineConfig(
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
  {
    files: ['src/**/*.{ts,mts,cts,tsx,js,mjs,cjs,jsx,svelte}'],
    plugins: { fence },
    rules: { 'fence/one-way': ['error', { rooms }], 'fence/pure': ['error', { rooms }] },
  },
  {
    // What is printed passes through output.ts, which takes out what could command a terminal.
    files: ['src/cli/**/*.ts'],
    rules: {
      'no-console': 'error',
      'no-restricted-properties': [
        'error',
        { object: 'process', property: 'stdout', message: 'Print with output.ts.' },
        { object: 'process', property: 'stderr', message: 'Print with output.ts.' },
      ],
    },
  },
  // Grows with each folder whose texts move into catalogues, to all of src/ui, src/cli and what speaks in the core.
  ...textsInCatalogues(
    [
      'src/ui',
      'src/bench/symptoms',
      'src/ui/symptom',
      'src/ui/explain',
      'src/ui/fix',
      'src/ui/delay',
      'src/ui/repeat',
      'src/title/infer',
      'src/ui/capture',
      'src/bench/delay',
      'src/bench/repeat',
      'src/ui/judging',
      'src/ui/worker',
      'src/bench/fix',
      'src/ui/look',
      'src/ui/first-visit',
      'src/ui/pad',
      'src/ui/profile',
      'src/ui/stick',
      'src/ui/learn',
      'src/ui/live',
      'src/ui/cable',
      'src/ui/capabilities',
      'src/ui/titles',
      'src/ui/port',
      'src/ui/plan',
      'src/ui/chart',
      'src/ui/connector',
      'src/ui/adapter',
      'src/bench/plan',
      'src/bench',
    ],
    [
      'src/ui/{App,NoticeStack,Strips}.svelte',
      'src/ui/{main,shelf-in-step,workbench.svelte,shelf-state.svelte}.ts',
    ],
  ),
)
