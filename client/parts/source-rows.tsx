import { useEffect, useRef } from 'preact/hooks'
import type { SourceCell, SourceRows } from '../../server/contract/source-rows.ts'
import { columnLetters } from '../../src/words/column-letters.ts'
import { filePage, lineAddress } from '../data/addresses.ts'
import { useResource } from '../data/resource.ts'
import type { DataTableProps } from './data-table.tsx'
import { Reading } from './notice.tsx'

/** A file whose rows can be read again: one that was taken in, or one that is being asked about still. */
export type FileAtHand = { readonly importId: number } | { readonly job: string }

/** What a table of places in a file opens below its rows: the row of the file; nothing without the file. */
export function rowDetail(
  file: FileAtHand | null,
  places: readonly { readonly line: number; readonly position?: number | null | undefined }[],
): Pick<DataTableProps, 'detail'> {
  if (file === null) return {}
  return {
    detail: {
      open: 'Show the row',
      close: 'Hide the row',
      of(row) {
        const { line, position } = places[row] as (typeof places)[number]
        return <SourceRowsView address={lineAddress(file, line, position ?? null)} />
      },
    },
  }
}

/** Columns that are shown at once; of a wider file those around the cell that is meant. */
const COLUMNS = 12

interface SourceRowsProps {
  readonly address: string
  /** True on the receipt itself, which needs no way to it. */
  readonly onReceipt?: boolean
}

/** A row of a file as it stands there, with the rows around it, and the cell that is meant marked. */
export function SourceRowsView({ address, onReceipt = false }: SourceRowsProps) {
  const resource = useResource<SourceRows>(address)
  const { value } = resource
  return (
    <div class="source-rows">
      <Reading resource={resource} what="the row" />
      {value !== null && (
        <>
          <p>
            {value.cell === null ? `Line ${value.line} of ${value.fileName}.` : cellWords(value, value.cell)}{' '}
            {value.importId !== null && !onReceipt && (
              <a href={filePage(value.importId, value.line, value.cell?.position ?? null)}>
                {`Receipt of import ${value.importId}, open here`}
              </a>
            )}
          </p>
          <Rows source={value} onReceipt={onReceipt} />
        </>
      )}
    </div>
  )
}

function cellWords({ fileName, line }: SourceRows, cell: SourceCell): string {
  const { position, heading, reference, text, readAs } = cell
  const said = text === '' ? 'Nothing' : `“${text}”`
  const read = readAs === null ? ', passed over' : `, read as ${readAs}`
  if (position === null) return `${said} stands in ${fileName}, line ${line}${read}. Element ${reference}.`
  const column = `column ${position}${heading === null ? '' : `, “${heading}”`}`
  return `${said} stands in cell ${reference} of ${fileName}: line ${line}, ${column}${read}.`
}

function Rows({ source, onReceipt }: { source: SourceRows; onReceipt: boolean }) {
  const { rows, cell, line, headings, fileName } = source
  const isTable = cell === null || cell.position !== null
  const width = Math.max(1, ...rows.map(({ cells }) => cells.length))
  const at = cell?.position ?? 1
  const first = Math.max(0, Math.min(at - COLUMNS / 2, width - COLUMNS))
  const shown = Array.from({ length: Math.min(COLUMNS, width - first) }, (_, i) => first + i)
  const region = useRef<HTMLElement>(null)
  // On a narrow screen the cell would lie beyond the edge.
  useEffect(() => {
    const marked = region.current?.querySelector<HTMLElement>('td.cell')
    if (region.current === null || !marked) return
    region.current.scrollLeft = marked.offsetLeft - (region.current.clientWidth - marked.offsetWidth) / 2
  }, [source])
  const caption = `${onReceipt ? 'What the address leads to: lines' : 'Lines'} ${rows[0]?.line} to ${rows.at(-1)?.line} of ${fileName}`
  return (
    <>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
      <section class="scroll" aria-label={caption} tabIndex={0} ref={region}>
        <table class="cells">
          <caption class="unseen">{caption}</caption>
          {isTable && (
            <thead>
              <tr>
                <th scope="col" class="number">
                  line
                </th>
                {shown.map((index) => (
                  <th key={index} scope="col" title={headings[index]}>
                    {columnLetters(index)}
                  </th>
                ))}
              </tr>
            </thead>
          )}
          <tbody>
            {rows.map((row) => (
              <tr key={row.line} class={row.line === line ? 'meant' : undefined}>
                <th scope="row" class="number">
                  {row.line}
                </th>
                {shown.map((index) => {
                  const isCell = row.line === line && cell?.position === index + 1
                  const text = row.cells[index] ?? ''
                  return (
                    <td key={index} class={isCell ? 'cell' : undefined}>
                      {isCell ? <mark>{text === '' ? '(empty)' : text}</mark> : text}
                    </td>
                  )
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      {isTable && shown.length < width && (
        <p class="quiet">{`Columns ${first + 1} to ${first + shown.length} of ${width}.`}</p>
      )}
    </>
  )
}
