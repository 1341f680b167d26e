import { defineConfig } from 'vitest/config'

/** The built program: in a real browser, and killed. One file at a time, so that they do not vie. */
export default defineConfig({
  root: new URL('../..', import.meta.url).pathname,
  test: {
    include: ['tests/browser/**/*.test.ts', 'tests/soak/**/*.test.ts'],
    environment: 'node',
    fileParallelism: false,
    testTimeout: 60_000,
    hookTimeout: 60_000,
  },
})
