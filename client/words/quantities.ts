import { formatCount } from '../../src/words/format.ts'

/** "1 row", "24 rows", "1,536 rows". */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${formatCount(count)} ${count === 1 ? one : many}`
}

/** A size of a file: "812 bytes", "1.4 kB", "23.0 MB"; decimal, as file listings count. */
export function bytesText(bytes: number): string {
  if (bytes < 1000) return counted(bytes, 'byte')
  if (bytes < 1e6) return `${(bytes / 1e3).toFixed(1)} kB`
  return `${(bytes / 1e6).toFixed(1)} MB`
}

export { unitText } from '../../src/words/unit.ts'

/** A moment as date and time of the reader's own clock: "2026-11-25 14:05". */
export function timeText(seconds: number): string {
  const at = new Date(seconds * 1000)
  const two = (value: number) => String(value).padStart(2, '0')
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())} ${two(at.getHours())}:${two(at.getMinutes())}`
}

/** The day alone: "2026-11-25". */
export function dayText(seconds: number): string {
  return timeText(seconds).slice(0, 10)
}
