/** A, B … Z, AA, AB: what spreadsheets call their columns, counted from 0. */
export function columnLetters(index: number): string {
  const rest = Math.floor(index / 26)
  return `${rest === 0 ? '' : columnLetters(rest - 1)}${String.fromCharCode(65 + (index % 26))}`
}
