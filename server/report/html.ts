import { gunzipSync, gzipSync } from 'node:zlib'
import type { Block, Plate, ReportDocument, Section, Table } from './document.ts'
import { momentText } from './report-text.ts'
import { escaped } from './svg-fonts.ts'

/**
 * The document as one HTML file that needs nothing else: figures inline, no script, no address. The data of the report
 * are in it as JSON, packed with gzip.
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
    `<script type="application/gzip;base64" id="${DATA_ID}">${gzipSync(json).toString('base64')}</script>`,
    '</body>',
    '</html>',
    '',
  ].join('\n')
}

const DATA_ID = 'report-data'

/** The report in a file that `htmlOf` made; null where there is none. */
export function jsonInHtml(html: string): string | null {
  const packed = new RegExp(
    `<script type="application/gzip;base64" id="${DATA_ID}">([A-Za-z0-9+/=]*)</script>`,
  ).exec(html)?.[1]
  // Reports of the first form carry it as it is; they are told apart by their version.
  if (packed === undefined) return plainJson(html)
  try {
    return gunzipSync(Buffer.from(packed, 'base64'), { maxOutputLength: LARGEST_DATA }).toString('utf8')
  } catch {
    return null
  }
}

function plainJson(html: string): string | null {
  return (
    new RegExp(`<script type="application/json" id="${DATA_ID}">(.*?)</script>`, 's').exec(html)?.[1] ?? null
  )
}

/** Beyond this many bytes, nothing of ours is unpacked. */
const LARGEST_DATA = 512 << 20

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
figure { margin: 0.5rem 0; }
.beside { display: grid; grid-template-columns: minmax(15rem, 1fr) 1fr 1fr; gap: 0.5rem 1rem; align-items: start; }
.beside table { align-self: start; }
.beside th { border-bottom: 0; }
.beside td { border-bottom: 0; text-align: right; }
.beside th, .beside td { padding: 0.08rem 0; }
.notes { font-size: 0.86rem; color: #333; margin: 0.3rem 0; }
article { border-top: 1px solid #c8c8c8; margin-top: 1.6rem; }
article h3 { margin-top: 0.8rem; }
svg { max-width: 100%; height: auto; overflow: visible; }
.sign { display: grid; grid-template-columns: 2fr 2fr 1fr; gap: 2.2rem 1rem; margin: 2.5rem 0; }
.sign span { border-top: 1px solid #000; font-size: 0.8rem; }
.scroll { overflow-x: auto; }
.scroll table { min-width: 42rem; }
.scroll svg { min-width: 42rem; }
.scroll th, .scroll td { overflow-wrap: break-word; }
@media (max-width: 50rem) { .beside { grid-template-columns: 1fr; } }
@media print { .scroll { overflow: visible; } .scroll th, .scroll td { overflow-wrap: anywhere; } .scroll table, .scroll svg { min-width: 0; } article { break-inside: avoid; } h2, h3 { break-after: avoid; } figure, tr { break-inside: avoid; } thead { display: table-header-group; } }
`.trim()

function sectionHtml({ heading, blocks }: Section): string {
  const head = heading === null ? '' : `<h2>${escaped(heading)}</h2>`
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
    case 'plate':
      return plateHtml(block)
    case 'signatures':
      return `<div class="sign">${block.roles.map((role) => `<span>${escaped(role)} (signature)</span><span>Name</span><span>Date</span>`).join('')}</div>`
    case 'table':
      return tableHtml(block)
  }
}

function plateHtml({ heading, lead, numbers, beside, below, notes }: Plate): string {
  const rows = numbers.map(
    ([name, value]) => `<tr><th scope="row">${escaped(name)}</th><td>${escaped(value)}</td></tr>`,
  )
  return [
    `<article><h3>${escaped(heading)}</h3><p>${escaped(lead)}</p>`,
    `<div class="beside"><table>${rows.join('')}</table>`,
    ...beside.map(({ svg }) => `<figure>${closed(svg)}</figure>`),
    '</div>',
    ...(below === null ? [] : [`<figure class="scroll">${closed(below.svg)}</figure>`]),
    `<p class="notes">${escaped(notes)}</p></article>`,
  ].join('')
}

/** Elements without content closed where they open: a tenth of what a chart takes. */
function closed(svg: string): string {
  return svg.replace(/><\/(?:circle|path|line|rect)>/g, '/>')
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
