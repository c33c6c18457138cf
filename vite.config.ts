import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { svelte } from '@sveltejs/vite-plugin-svelte'
import { VitePWA } from 'vite-plugin-pwa'
import { defineConfig } from 'vitest/config'
import type { UserConfig } from 'vite'
import { contentPolicy } from './.config/content-policy-plugin.ts'
import { HEADERS } from './.config/content-policy.ts'
import { executable } from './.config/executable.ts'
import { firstLoadSize } from './.config/first-load-size.ts'
import { ShippedPackages } from './.config/licences.ts'

const { version } = JSON.parse(readFileSync(new URL('package.json', import.meta.url), 'utf8')) as {
  version: string
}
const define = { __NINEPIN_VERSION__: JSON.stringify(version) }

/**
 * The frame of the app and the sheet of a first visit, each one file with all that it needs: forty small ones take a seventh more
 * after compression. `main.ts` stays outside, as it waits for the shelf and no station may wait for it.
 */
const firstLoad = [
  { name: 'app', test: /\/ui\/App\.svelte$/, priority: 2 },
  { name: 'first-visit', test: /\/ui\/first-visit\/FirstVisit\.svelte$/, priority: 1 },
]

const shipped = new ShippedPackages(fileURLToPath(new URL('.', import.meta.url)))

/** What the service worker is made of, which is bundled last and by another tool; the build looks whether it is so. */
const serviceWorker = {
  packages: ['core', 'precaching', 'routing', 'strategies'].map((part) => `workbox-${part}`),
  file: 'sw.js',
  marks: /self\["(workbox:[a-z-]+):[\d.]+"\]/g,
}

/** The browser app: everything is cached on the first visit, so the second needs no network. */
const app: UserConfig = {
  root: 'src',
  base: './',
  publicDir: '../static',
  define,
  plugins: [
    svelte({ configFile: '../svelte.config.js' }),
    contentPolicy(),
    firstLoadSize(90_000),
    VitePWA({
      registerType: 'prompt',
      injectRegister: false,
      manifest: {
        name: 'Ninepin',
        short_name: 'Ninepin',
        description: 'Puts a modern pad on original hardware',
        theme_color: '#f4eee2',
        background_color: '#f4eee2',
        display: 'standalone',
        start_url: './',
        icons: [
          { src: 'icons/icon.svg', sizes: 'any', type: 'image/svg+xml' },
          { src: 'icons/icon-192.png', sizes: '192x192', type: 'image/png' },
          { src: 'icons/icon-512.png', sizes: '512x512', type: 'image/png', purpose: 'any maskable' },
        ],
      },
      // The first visit is served from the cache as soon as it is filled: stations load later, perhaps without a network.
      workbox: {
        clientsClaim: true,
        inlineWorkboxRuntime: true,
        globPatterns: ['**/*.{js,css,html,svg,png,woff2,json,bin,uf2,vcd,txt}'],
      },
    }),
    ...shipped.writing(serviceWorker),
  ],
  build: {
    outDir: '../dist/app',
    emptyOutDir: true,
    target: 'es2022',
    rolldownOptions: { checks: { eval: false }, output: { codeSplitting: { groups: firstLoad } } },
  },
  worker: { format: 'es', plugins: () => [shipped.noting()], rolldownOptions: { checks: { eval: false } } },
  preview: { host: '127.0.0.1', port: 4173, headers: { ...HEADERS } },
  server: { host: '127.0.0.1' },
}

/**
 * What Node runs; what it depends on is bundled, so that dist/cli can be copied anywhere. Only the serial library, native code,
 * stays outside: a copy without it does everything but reach a serial port.
 */
const node = (input: Record<string, string>, outDir: string): UserConfig => ({
  define,
  publicDir: false,
  plugins: shipped.writing(),
  ssr: { noExternal: true, external: ['serialport'] },
  build: {
    ssr: true,
    outDir,
    emptyOutDir: true,
    target: 'node20',
    // rp2040js evaluates `require` where there is no `performance`; there always is.
    rolldownOptions: { input, output: { entryFileNames: '[name].js' }, checks: { eval: false } },
  },
  logLevel: 'warn',
})

/** Tests that take minutes because they leave nothing out: run by CI and by `npm run test:proof`. */
const PROOFS = [
  'tests/adapter/emulator/quiet-host.test.ts',
  'tests/adapter/firmware/{host-chip,host-fire,late-question-chip,link-chip,link-fire,pad-memory-chip,power,probe-chip,reply,reset,trial-chip}.test.ts',
  'tests/bench/{fix,fix-answer,probe,symptoms}.test.ts',
  'tests/cli/{bad-input,cable,captured-truth,emulated,explain-fix,fix-interrupted,hostile-captures}.test.ts',
  'tests/cli/{met,output,pads,port,probe,pseudo,symptom,uf2,undecided,work-budget,write}.test.ts',
  'tests/outside/{cable-ngspice,judge-z3,port-icarus,reply-icarus,select-edges,vcd-written}.test.ts',
  'tests/{pad/descriptor,profile,title}/fuzz.test.ts',
  'tests/shelf/law.test.ts',
  'tests/title/infer/left-over.test.ts',
]

/** The same claims as elsewhere with larger counts: `npm run test:long`, not part of CI. */
const LONG = [
  'tests/cli/captured-truth.test.ts',
  'tests/shelf/{law,merge,tabs}.test.ts',
  'tests/outside/judge-z3.test.ts',
  'tests/browser/killed.test.ts',
]

export default defineConfig(({ mode }) => {
  if (mode === 'cli') {
    const cli = node({ ninepin: 'src/cli/main.ts' }, 'dist/cli')
    return { ...cli, plugins: [cli.plugins, executable('dist/cli', 'ninepin.js')] }
  }
  if (mode === 'bench') {
    const entries = { run: 'tests/speed/run.ts', 'app.thread': 'tests/ui/worker/app.thread.ts' }
    return node(entries, 'dist/speed/bench')
  }
  if (mode !== 'test') return app
  return {
    define,
    plugins: [svelte()],
    test: {
      // One for each core; a test is never timed, so nothing is lost by sharing them with what a test starts.
      maxWorkers: '100%',
      setupFiles: ['tests/draws.ts'],
      projects: [
        {
          extends: true,
          test: {
            name: 'unit',
            // Properties take a part of their draws while somebody works; CI sets it to 1.
            env: { NINEPIN_DRAWS: process.env['NINEPIN_DRAWS'] ?? '0.2' },
            include: ['tests/**/*.test.ts'],
            exclude: ['tests/browser/**', ...PROOFS],
            globalSetup: 'tests/cli/one-folder.ts',
            // A worker imports a module once for all its files: each file puts back what it changes of anything global. The workers
            // are processes, since threads would hear each other's broadcast channels.
            isolate: false,
            pool: 'forks',
            // Against a test that hangs, not against a machine that is busy.
            testTimeout: 300_000,
          },
        },
        {
          extends: true,
          test: {
            name: 'proof',
            include: PROOFS,
            globalSetup: 'tests/cli/one-folder.ts',
            testTimeout: 1_200_000,
          },
        },
        {
          extends: true,
          test: {
            name: 'long',
            include: LONG,
            globalSetup: 'tests/cli/one-folder.ts',
            env: { NINEPIN_LONG: 'yes' },
            testTimeout: 3_600_000,
            fileParallelism: false,
          },
        },
        {
          extends: true,
          test: {
            name: 'browser',
            include: ['tests/browser/**/*.test.ts'],
            testTimeout: 120_000,
            // What is waited for comes when it comes: vitest's own limit, a second, would time a busy machine.
            expect: { poll: { timeout: 60_000 } },
            fileParallelism: false,
          },
        },
      ],
    },
  }
})
