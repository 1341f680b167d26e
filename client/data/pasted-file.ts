/** A table from the clipboard as a file that says when it was pasted: "pasted 2026-11-25 14-05-09.tsv". */
export function pastedFile(text: string, at: Date): File {
  const two = (value: number) => String(value).padStart(2, '0')
  const day = `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`
  const time = `${two(at.getHours())}-${two(at.getMinutes())}-${two(at.getSeconds())}`
  const extension = text.split('\n', 1)[0]?.includes('\t') ? 'tsv' : 'csv'
  return new File([text], `pasted ${day} ${time}.${extension}`, { type: 'text/plain' })
}
