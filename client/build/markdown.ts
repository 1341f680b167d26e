import { Marked } from 'marked'
import type { Plugin } from 'vite'

/**
 * Lets the client import a page of the guide: `import { html, title } from '../guide/files.md'`. The pages are the
 * project's own, turned into HTML when the client is built; nothing that a user wrote goes through here.
 */
export function markdownPages(): Plugin {
  const marked = new Marked()
  return {
    name: 'guide-pages',
    transform: {
      filter: { id: /\.md$/ },
      handler(source) {
        const title = /^# (.+)$/m.exec(source)?.[1] ?? ''
        const html = marked.parse(source, { async: false })
        return {
          code: `export const title = ${JSON.stringify(title)}\nexport const html = ${JSON.stringify(html)}`,
          map: null,
        }
      },
    },
  }
}
