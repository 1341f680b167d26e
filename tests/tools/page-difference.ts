import pixelmatch from 'pixelmatch'
import type { PNG } from 'pngjs'

/** Pixels that are averaged each way: then it hardly matters how a program smooths edges and draws thin lines. */
const BLOCK = 6
/** Of averaged pixels: how different two may be, of black against white, and how far differences are gathered. */
const THRESHOLD = 0.12
const WINDOW = 8

/**
 * How far two pictures of a page differ where they differ most: the share of a window of about an inch, at 50 dots per
 * inch, that is clearly darker or lighter in one of them. Rendering of glyphs and lines hardly counts, a picture that is
 * missing does.
 *
 * @throws Error where the pages are not of the same size
 */
export function pageDifference(one: PNG, other: PNG): number {
  const [a, b] = [averaged(one), averaged(other)]
  if (a.width !== b.width || a.height !== b.height) {
    throw new Error(`Pages of ${one.width} × ${one.height} and ${other.width} × ${other.height} pixels`)
  }
  const options = { threshold: THRESHOLD, includeAA: true, windowSize: WINDOW }
  return pixelmatch(a.pixels, b.pixels, null, a.width, a.height, options) / WINDOW ** 2
}

function averaged({ width: full, height: tall, data }: PNG) {
  const [width, height] = [Math.floor(full / BLOCK), Math.floor(tall / BLOCK)]
  const pixels = new Uint8Array(4 * width * height).fill(255)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let sum = 0
      for (let dy = 0; dy < BLOCK; dy++) {
        for (let dx = 0; dx < BLOCK; dx++)
          sum += data[4 * ((y * BLOCK + dy) * full + x * BLOCK + dx)] as number
      }
      pixels.fill(Math.round(sum / BLOCK ** 2), 4 * (y * width + x), 4 * (y * width + x) + 3)
    }
  }
  return { width, height, pixels }
}
