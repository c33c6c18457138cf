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
  // All of the app, of the command line and of what speaks in the core. Documents and tables for engineers are written elsewhere.
  ...textsInCatalogues([
    'src/ui/**',
    'src/cli/**',
    'src/bench/**',
    'src/shelf/**',
    'src/title/**',
    'src/pad/{descriptor,layout,learn,stick}',
    'src/document',
  ]),
)
