/** Line that each record of a file begins on, counted from 1. */
export function linesOf(records: readonly (readonly string[])[]): number[] {
  let line = 1
  return records.map((record) => {
    const begins = line
    line += 1 + record.reduce((sum, cell) => sum + (cell.split('\n').length - 1), 0)
    return begins
  })
}
