import { svelte } from '@sveltejs/vite-plugin-svelte'
import { defineConfig } from 'vitest/config'

/** For `npm run mutate`, which says which of the tests are run. */
export default defineConfig({
  define: { __NINEPIN_VERSION__: JSON.stringify('0.0.0') },
  plugins: [svelte()],
  test: {
    // As in `npm test`: a fault that only the other draws notice is pinned too loosely.
    env: { NINEPIN_DRAWS: process.env['NINEPIN_DRAWS'] ?? '0.2' },
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/browser/**'],
    globalSetup: 'tests/cli/one-folder.ts',
    isolate: false,
    setupFiles: '.config/mutate-afresh.ts',
    // Against a test that hangs before any fault is planted; Stryker has a limit of its own for those that a fault makes hang.
    testTimeout: 300_000,
  },
})
