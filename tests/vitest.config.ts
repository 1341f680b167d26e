import { defineConfig } from 'vitest/config'

/** Unit and interface tests. Browser tests have a configuration of their own beside this one. */
export default defineConfig({
  root: new URL('..', import.meta.url).pathname,
  test: {
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    exclude: ['tests/browser/**', '**/node_modules/**'],
    environment: 'node',
    testTimeout: 20_000,
  },
})
