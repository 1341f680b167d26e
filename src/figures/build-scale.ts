import { textWidth } from './text-width.ts'

/**
 * Builds along the timeline, each a band of the same width. Strip, lanes and chart draw on one such scale, so
 * that they line up to the pixel. Positions are indices of the timeline; x is in pixels of the figure.
 */
export interface BuildScale {
  /** First and last position in view, both inclusive. */
  readonly from: number
  readonly to: number
  readonly x0: number
  readonly x1: number
  /** Width of one build. */
  readonly step: number
  start(position: number): number
  centre(position: number): number
  end(position: number): number
  /** The position whose band holds x; null outside the scale. */
  at(x: number): number | null
  inView(position: number): boolean
}

export function buildScale(from: number, to: number, x0: number, x1: number): BuildScale {
  const count = Math.max(1, to - from + 1)
  const step = (x1 - x0) / count
  const start = (position: number) => x0 + (position - from) * step
  return {
    from,
    to,
    x0,
    x1,
    step,
    start,
    centre: (position) => start(position) + step / 2,
    end: (position) => start(position) + step,
    at: (x) => (x < x0 || x >= x1 ? null : Math.min(to, from + Math.floor((x - x0) / step))),
    inView: (position) => position >= from && position <= to,
  }
}

/** A label on the scale of builds: where its text begins, and the text. */
export interface BuildLabelPlace {
  readonly position: number
  readonly x: number
  readonly text: string
  readonly strong: boolean
}

/**
 * Names of builds to be written above or below the scale: `chosen` ones first (set strong), then the first and
 * the last, then every k-th of the timeline in between with k as small as room allows. None overlap.
 */
export function buildLabels(
  scale: BuildScale,
  name: (position: number) => string,
  chosen: readonly number[],
  size: number,
): BuildLabelPlace[] {
  const gap = size
  const placed: (BuildLabelPlace & { readonly end: number })[] = []
  const put = (position: number, strong: boolean) => {
    const text = name(position)
    const width = textWidth(text, size)
    const x = Math.max(scale.x0, Math.min(scale.x1 - width, scale.centre(position) - width / 2))
    if (placed.some((other) => x < other.end + gap && other.x < x + width + gap)) return
    placed.push({ position, x, text, strong, end: x + width })
  }
  for (const position of chosen) if (scale.inView(position)) put(position, true)
  put(scale.from, false)
  put(scale.to, false)
  const widest = textWidth(name(scale.to), size) + 3 * gap
  const every = STEPS.find((step) => step * scale.step >= widest)
  if (every !== undefined) {
    for (let p = Math.ceil(scale.from / every) * every; p < scale.to; p += every) put(p, false)
  }
  return placed.map(({ end: _end, ...place }) => place)
}

const STEPS = [1, 2, 5, 10, 20, 50, 100, 200, 500]
