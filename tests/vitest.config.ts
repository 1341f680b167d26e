import { defineConfig } from 'vitest/config'

/** Unit and interface tests. Tests of the built program have a configuration of their own beside this one. */
export default defineConfig({
  root: new URL('..', import.meta.url).pathname,
  test: {
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    exclude: ['tests/browser/**', 'tests/soak/**', '**/node_modules/**'],
    environment: 'node',
    setupFiles: ['tests/tools/property-seed.ts'],
    testTimeout: 20_000,
    expect: { requireAssertions: true },
    // A database server is started and stopped there, on a machine that does other things too.
    hookTimeout: 60_000,
  },
})
