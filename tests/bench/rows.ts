import { mkdirSync, writeFileSync } from 'node:fs'
import { dirname } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'

/** One line of the table of `npm run bench`. */
export interface BenchRow {
  /** Says what was measured, and of how much; the same in every run, since the baseline goes by it. */
  readonly name: string
  readonly measured: number
  readonly unit: string
  /** What it is held against, measured in the same run in the same unit; null where there is nothing of its kind. */
  readonly beside: { readonly what: string; readonly measured: number } | null
  /** Measured over beside, so that less is better in every row; null where there is nothing beside. */
  readonly ratio: number | null
  /** Whether two runs give the ratio alike, so that it may stand in the baseline. */
  readonly isSteady: boolean
}

/**
 * @param beside in the unit of `measured`
 * @param isSteady false where it is measured once and over in a moment
 */
export function row(
  name: string,
  measured: number,
  unit: string,
  beside: { readonly what: string; readonly measured: number } | null = null,
  isSteady = true,
): BenchRow {
  return {
    name,
    measured,
    unit,
    beside,
    ratio: beside === null ? null : measured / beside.measured,
    isSteady,
  }
}

/** The rows as text, in columns. */
export function table(rows: readonly BenchRow[]): string {
  const number = (n: number) =>
    n >= 1000 ? Math.round(n).toLocaleString('en') : n >= 100 ? n.toFixed(0) : n.toPrecision(3)
  const width = Math.max(0, ...rows.map(({ name }) => name.length))
  return rows
    .map(({ name, measured, unit, beside, ratio }) => {
      const held =
        ratio === null
          ? ''
          : `${ratio.toFixed(2)} times ${beside?.what} (${number(beside?.measured as number)})`
      return `${name.padEnd(width)}  ${number(measured).padStart(11)} ${unit.padEnd(10)}  ${held}`.trimEnd()
    })
    .join('\n')
}

export function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1] as number
}

/**
 * Where the file at `url` is the one that was started: runs its bench with what else the command line says, prints its
 * rows and, where `--json FILE` is given, writes them there.
 */
export async function runAlone(
  url: string,
  bench: (args: readonly string[]) => Promise<readonly BenchRow[]>,
): Promise<void> {
  if (process.argv[1] !== fileURLToPath(url)) return
  const { values, positionals } = parseArgs({ options: { json: { type: 'string' } }, allowPositionals: true })
  const rows = await bench(positionals)
  console.log(table(rows))
  if (values.json !== undefined) writeJson(values.json, rows)
}

export function writeJson(file: string, content: unknown): void {
  mkdirSync(dirname(file), { recursive: true })
  writeFileSync(file, `${JSON.stringify(content, null, 2)}\n`)
}
