/**
 * Advance widths of IBM Plex Sans Regular in thousandths of the type size, for the characters from space to
 * tilde. Figures are pure and cannot ask a browser how wide a text is; measured from the font files of
 * @fontsource/ibm-plex-sans 5.3.0.
 */
const ASCII =
  '236 284 419 713 598 927 694 242 335 335 450 600 272 399 272 383 600 600 600 600 600 600 600 600 600 600 292 292 600 600 600 477 891 641 653 621 671 583 559 695 707 400 510 634 501 812 707 708 606 708 640 581 572 678 609 891 613 593 580 317 383 317 600 565 600 534 580 503 580 549 324 528 568 250 250 527 272 873 568 560 580 580 367 487 351 568 492 768 507 499 464 343 314 343 600'
    .split(' ')
    .map(Number)
const OTHER = 600
/** Of ideographs and the like, from Hangul on. */
const WIDE = 1000
const FIRST_WIDE = 0x1100

/** Width of a text in the unit of `size`, to a few per cent where the font falls back to the system's own. */
export function textWidth(text: string, size: number): number {
  let sum = 0
  for (const character of text) {
    const code = character.codePointAt(0) as number
    // Punctuation and mathematical signs of all scripts lie in between.
    const isWide = code >= FIRST_WIDE && (code < 0x1e00 || code >= 0x2e80)
    sum += ASCII[code - 32] ?? (isWide ? WIDE : OTHER)
  }
  return (sum * size) / 1000
}

/** The text, cut with an ellipsis where it would be wider than `width`. */
export function fitText(text: string, size: number, width: number): string {
  if (textWidth(text, size) <= width) return text
  const characters = [...text]
  while (characters.length > 0 && textWidth(`${characters.join('').trimEnd()}…`, size) > width)
    characters.pop()
  return characters.length === 0 ? '' : `${characters.join('').trimEnd()}…`
}

/** The text broken at spaces into lines no wider than `width`; a single longer word stands alone. */
export function wrapText(text: string, size: number, width: number): string[] {
  const lines: string[] = []
  for (const word of text.split(' ')) {
    const last = lines.at(-1)
    if (last !== undefined && textWidth(`${last} ${word}`, size) <= width)
      lines[lines.length - 1] = `${last} ${word}`
    else lines.push(word)
  }
  return lines
}
