import type { Content } from 'pdfmake/interfaces.js'
import type { Block, Plate, Section, Table } from './document.ts'
import { platePages } from './pdf-plates.ts'
import { BARE, bookmark, GAP, HAIRLINES, margins, type Setting, STYLES } from './pdf-style.ts'
import { TEXT_WIDTH } from './plate-size.ts'

export function sectionContent({ heading, startsPage, blocks }: Section, setting: Setting): Content {
  const head: Content[] =
    heading === null
      ? []
      : [
          {
            text: setting.text(heading),
            style: 'chapter',
            ...bookmark(heading),
            ...(startsPage ? { pageBreak: 'before' } : { margin: margins(14, 6) }),
          },
        ]
  const plates = blocks.filter((block) => block.kind === 'plate')
  const others = blocks.filter((block) => block.kind !== 'plate')
  return {
    // A heading in the middle of a page keeps with what it heads; a table is too long for that.
    unbreakable: !startsPage && heading !== null && !blocks.some(({ kind }) => kind === 'table'),
    stack: [
      ...head,
      ...others.map((block) => blockContent(block, setting)),
      ...(plates.length === 0 ? [] : [platePages(plates, heading, setting)]),
    ],
  }
}

const LIST_INDENT = 10

function blockContent(block: Exclude<Block, Plate>, setting: Setting): Content {
  const { text } = setting
  switch (block.kind) {
    case 'lead':
      return { text: text(block.text), style: 'lead' }
    case 'paragraph':
      return { text: text(block.text), margin: margins(0, 4) }
    case 'list':
      // In a table, since a word that is wider than a column of another kind is not broken.
      return {
        table: {
          widths: [LIST_INDENT, TEXT_WIDTH - LIST_INDENT],
          body: block.items.map((item) => ['–', { text: text(item) }]),
        },
        layout: BARE,
        margin: margins(4, 6),
      }
    case 'facts':
      return {
        table: {
          widths: [70, TEXT_WIDTH - 70 - 2 * GAP],
          body: block.facts.map(([name, value]) => [{ text: name, color: '#333333' }, { text: text(value) }]),
        },
        layout: HAIRLINES,
        margin: margins(6, 6),
      }
    case 'table':
      return tableContent(block, setting)
    case 'signatures':
      return {
        unbreakable: true,
        margin: margins(10, 0),
        stack: block.roles.map((role) => ({
          margin: [0, 22, 0, 0] as [number, number, number, number],
          columns: [role, 'Name', 'Date'].map((what, i) => ({
            width: i === 2 ? 90 : '*',
            stack: [
              { canvas: [{ type: 'line', x1: 0, y1: 0, x2: lineLength(i), y2: 0, lineWidth: 0.6 }] },
              { text: i === 0 ? `${what} (signature)` : what, style: 'head', margin: margins(2, 0) },
            ] as Content[],
          })),
          columnGap: 16,
        })),
      }
  }
}

/** Points of a line to sign on; the last one is for a date. */
function lineLength(column: number): number {
  return column === 2 ? 90 : (TEXT_WIDTH - 90 - 2 * 16) / 2
}

function tableContent({ caption, columns, rows }: Table, setting: Setting): Content {
  const { text } = setting
  const shares = columns.reduce((sum, { share }) => sum + share, 0)
  const room = TEXT_WIDTH - GAP * columns.length
  const widths = columns.map(({ share }) => (room * share) / shares)
  const cells = columns.map(({ heading, align }) => ({
    text: text(heading),
    style: 'head',
    alignment: align,
  }))
  const named = caption === null ? [] : [{ text: text(caption), style: 'caption', colSpan: columns.length }]
  const blank = columns.slice(1).map(() => '')
  const heads = caption === null ? [cells] : [[...named, ...blank], cells]
  return {
    table: {
      headerRows: heads.length,
      keepWithHeaderRows: 1,
      dontBreakRows: true,
      widths,
      body: [
        ...heads,
        ...rows.map((row) =>
          row.map((cell, i) => ({
            text: text(cell, { width: widths[i] as number, size: STYLES.cell.fontSize }),
            style: 'cell',
            alignment: columns[i]?.align ?? 'left',
          })),
        ),
      ],
    },
    layout: HAIRLINES,
    margin: margins(0, 10),
  }
}
