import { defineConfig } from 'vitest/config'

/** The built program: in a real browser, and killed. One file at a time, so that they do not vie. */
export default defineConfig({
  root: new URL('../..', import.meta.url).pathname,
  test: {
    include: ['tests/browser/**/*.test.ts', 'tests/soak/**/*.test.ts'],
    environment: 'node',
    fileParallelism: false,
    testTimeout: 120_000,
    hookTimeout: 120_000,
    // As long as a locator waits: a busy machine is no fault of the page.
    expect: { poll: { timeout: 30_000 } },
  },
})
