import type { ComponentChildren, VNode } from 'preact'
import { useState } from 'preact/hooks'
import { LIGHT, type Palette } from '../../src/figures/palette.ts'
import { useOpen } from '../data/query.ts'
import { csvText, type TableModel } from '../save/csv.ts'
import { download, fileNameFrom } from '../save/download.ts'
import { pngBlob } from '../save/png.ts'
import { drawApart, svgText } from '../save/svg.ts'
import { DataTable } from './data-table.tsx'

/** Width that figures are saved at, in pixels; the PNG has twice as many each way. */
const SAVED_WIDTH = 1200

interface FigureProps {
  /** Names its table in the address, and nothing else. */
  readonly name: string
  /** What the figure shows, for the names of saved files. */
  readonly title: string
  /** Draws the figure for a file. */
  draw(palette: Palette, width: number): VNode
  table(): TableModel
  readonly children: ComponentChildren
}

/** A figure with the table behind it and the ways to save both. */
export function Figure({ name, title, draw, table, children }: FigureProps) {
  const [open, setOpen] = useOpen(`${name}-table`)
  const [fault, setFault] = useState<string | null>(null)
  const apart = () => drawApart(draw(LIGHT, SAVED_WIDTH), title, LIGHT)
  const saveSvg = () => {
    const text = svgText(apart())
    download(fileNameFrom(title, 'svg'), new Blob([text], { type: 'image/svg+xml' }))
  }
  const savePng = async () => {
    try {
      setFault(null)
      await document.fonts.ready
      download(fileNameFrom(title, 'png'), await pngBlob(apart(), 2))
    } catch (error) {
      setFault(
        `The picture could not be made: ${error instanceof Error ? error.message : error}. Save it as SVG.`,
      )
    }
  }
  return (
    <figure class="figure">
      {children}
      <figcaption class="actions">
        <button type="button" class="plain" aria-expanded={open} onClick={() => setOpen(!open)}>
          {open ? 'Close the table' : 'Figures as a table'}
        </button>
        <button type="button" class="plain" onClick={saveSvg}>
          Save as SVG
        </button>
        <button type="button" class="plain" onClick={savePng}>
          Save as PNG
        </button>
        <button type="button" class="plain" onClick={() => saveTable(table(), title)}>
          Save the table as CSV
        </button>
        {fault !== null && <span role="alert">{fault}</span>}
      </figcaption>
      {open && <DataTable table={table()} />}
    </figure>
  )
}

/** Saves a table as CSV; the mark in front tells spreadsheets that it is UTF-8. */
export function saveTable(table: TableModel, title: string): void {
  download(fileNameFrom(title, 'csv'), new Blob(['\uFEFF', csvText(table)], { type: 'text/csv' }))
}
