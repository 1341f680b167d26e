/** Hands a file to the browser's own way of saving. */
export function download(fileName: string, content: Blob): void {
  const address = URL.createObjectURL(content)
  const link = document.createElement('a')
  link.href = address
  link.download = fileName
  link.click()
  setTimeout(() => URL.revokeObjectURL(address), 10_000)
}

/** A file name of letters, digits, points and dashes, made from words. */
export function fileNameFrom(words: string, extension: string): string {
  const stem = words
    .normalize('NFKD')
    .replace(/[^A-Za-z0-9.]+/g, '-')
    .replace(/^-+|-+$/g, '')
  return `${stem === '' ? 'figure' : stem}.${extension}`
}
