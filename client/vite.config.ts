import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vite'
import { markdownPages } from './build/markdown.ts'

/** Builds the client into dist/client. In development, the interface is asked of a server on port 4180. */
export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  build: {
    outDir: fileURLToPath(new URL('../dist/client', import.meta.url)),
    emptyOutDir: true,
    // The content security policy allows no data: addresses for fonts.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    // What every first view needs comes as one file, not as one for each page that shares some of it.
    rolldownOptions: { output: { codeSplitting: { groups: [{ name: 'first', tags: ['$initial'] }] } } },
  },
  plugins: [markdownPages()],
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  server: { proxy: { '/api': 'http://127.0.0.1:4180' } },
})
