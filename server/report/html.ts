import type { Block, ReportDocument, Section, Table } from './document.ts'
import { momentText } from './report-text.ts'
import { escaped } from './svg-fonts.ts'

/**
 * The document as one HTML file that needs nothing else: figures inline, no script, no address. The data of the report
 * are in it as JSON.
 *
 * @param json the report
 */
export function htmlOf(document: ReportDocument, json: string): string {
  const { title, author, madeAt, running, foot, sections } = document
  return [
    '<!doctype html>',
    '<html lang="en-GB">',
    '<head>',
    '<meta charset="utf-8">',
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<meta name="author" content="${escaped(author)}">`,
    `<title>${escaped(title)}</title>`,
    `<style>${STYLE}</style>`,
    '</head>',
    '<body>',
    `<header><p>${escaped(running)}</p><h1>${escaped(title)}</h1></header>`,
    '<main>',
    ...sections.map(sectionHtml),
    '</main>',
    `<footer><p>${escaped(foot)}, made ${momentText(madeAt)} by ${escaped(author)}</p></footer>`,
    // Within a script element nothing but its end is read as HTML.
    `<script type="application/json" id="${DATA_ID}">${json.replaceAll('<', '\\u003c')}</script>`,
    '</body>',
    '</html>',
    '',
  ].join('\n')
}

const DATA_ID = 'report-data'

/** The report in a file that `htmlOf` made; null where there is none. */
export function jsonInHtml(html: string): string | null {
  return (
    new RegExp(`<script type="application/json" id="${DATA_ID}">(.*?)</script>`, 's').exec(html)?.[1] ?? null
  )
}

const STYLE = `
body { font: 14px/1.45 'IBM Plex Sans', system-ui, sans-serif; color: #000; background: #fff; max-width: 60rem; margin: 2rem auto; padding: 0 1rem; overflow-wrap: anywhere; }
header h1 { font-size: 1rem; font-weight: 400; margin: 0; }
header p, footer p, th, dt, figcaption { color: #333; }
.lead { font-size: 1.8rem; line-height: 1.15; margin: 0.6rem 0; }
h2 { font-size: 1.3rem; margin: 2.2rem 0 0.5rem; }
h3 { font-size: 1.05rem; margin: 1.6rem 0 0.3rem; }
table { border-collapse: collapse; width: 100%; font-size: 0.86rem; font-variant-numeric: tabular-nums; }
caption { text-align: left; font-weight: 600; padding: 0.8rem 0 0.2rem; }
th { text-align: left; font-weight: 400; border-bottom: 1px solid #000; }
th, td { vertical-align: top; padding: 0.2rem 0.6rem 0.2rem 0; white-space: pre-line; }
td { border-bottom: 1px solid #c8c8c8; }
.right { text-align: right; }
dl { display: grid; grid-template-columns: 7rem 1fr; gap: 0.2rem 1rem; }
dd { margin: 0; }
figure { display: flex; flex-wrap: wrap; gap: 0.5rem; margin: 0.5rem 0; }
svg { max-width: 100%; height: auto; overflow: visible; }
.sign { display: grid; grid-template-columns: 2fr 2fr 1fr; gap: 2.2rem 1rem; margin: 2.5rem 0; }
.sign span { border-top: 1px solid #000; font-size: 0.8rem; }
.scroll { overflow-x: auto; }
@media print { h2, h3 { break-after: avoid; } figure, tr { break-inside: avoid; } thead { display: table-header-group; } }
`.trim()

function sectionHtml({ heading, level, blocks }: Section): string {
  const tag = level === 1 ? 'h2' : 'h3'
  const head = heading === null ? '' : `<${tag}>${escaped(heading)}</${tag}>`
  return `<section>${head}${blocks.map(blockHtml).join('\n')}</section>`
}

function blockHtml(block: Block): string {
  switch (block.kind) {
    case 'lead':
      return `<p class="lead">${escaped(block.text)}</p>`
    case 'paragraph':
      return `<p>${escaped(block.text)}</p>`
    case 'list':
      return `<ul>${block.items.map((item) => `<li>${escaped(item)}</li>`).join('')}</ul>`
    case 'facts':
      return `<dl>${block.facts.map(([name, value]) => `<dt>${escaped(name)}</dt><dd>${escaped(value)}</dd>`).join('')}</dl>`
    case 'group':
      return block.blocks.map(blockHtml).join('\n')
    case 'figures':
      return `<figure>${block.figures.map(({ svg }) => svg).join('')}</figure>`
    case 'signatures':
      return `<div class="sign">${block.roles.map((role) => `<span>${escaped(role)} (signature)</span><span>Name</span><span>Date</span>`).join('')}</div>`
    case 'table':
      return tableHtml(block)
  }
}

function tableHtml({ caption, columns, rows }: Table): string {
  const side = (i: number) => (columns[i]?.align === 'right' ? ' class="right"' : '')
  const head = columns.map(({ heading }, i) => `<th scope="col"${side(i)}>${escaped(heading)}</th>`).join('')
  const body = rows.map(
    (row) => `<tr>${row.map((cell, i) => `<td${side(i)}>${escaped(cell)}</td>`).join('')}</tr>`,
  )
  const said = caption === null ? '' : `<caption>${escaped(caption)}</caption>`
  return `<div class="scroll"><table>${said}<thead><tr>${head}</tr></thead><tbody>${body.join('')}</tbody></table></div>`
}
