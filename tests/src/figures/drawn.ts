import { textWidth } from '../../../src/figures/text-width.ts'

/** What a figure drew, read back from its text, to be measured by tests. */

export interface DrawnElement {
  readonly tag: string
  readonly attributes: Readonly<Record<string, string>>
  /** The text of a text element; empty for others. */
  readonly text: string
}

const ELEMENT = /<(\w+)((?:\s+[\w-]+="[^"]*")*)\s*(?:\/>|>([^<]*))/g

/** All elements in the order of the document. */
export function drawn(svg: string): DrawnElement[] {
  return [...svg.matchAll(ELEMENT)].map(([, tag = '', attributes = '', text = '']) => ({
    tag,
    attributes: Object.fromEntries(
      [...attributes.matchAll(/([\w-]+)="([^"]*)"/g)].map(([, name = '', value = '']) => [name, value]),
    ),
    text: text.replaceAll('&amp;', '&').replaceAll('&lt;', '<'),
  }))
}

export function byTag(svg: string, tag: string): DrawnElement[] {
  return drawn(svg).filter((element) => element.tag === tag)
}

export function number(element: DrawnElement, attribute: string): number {
  return Number(element.attributes[attribute])
}

export function texts(svg: string): string[] {
  return byTag(svg, 'text').map((element) => element.text)
}

export interface Box {
  readonly text: string
  readonly x0: number
  readonly x1: number
  readonly y0: number
  readonly y1: number
}

/** Where each text stands, by the same estimate of widths that the figures use. */
export function textBoxes(svg: string): Box[] {
  return byTag(svg, 'text').map((element) => {
    const size = number(element, 'font-size')
    const width = textWidth(element.text, size)
    const x = number(element, 'x')
    const anchor = element.attributes['text-anchor']
    const x0 = anchor === 'end' ? x - width : anchor === 'middle' ? x - width / 2 : x
    const y = number(element, 'y')
    return { text: element.text, x0, x1: x0 + width, y0: y - size * 0.72, y1: y + size * 0.2 }
  })
}

/** Pairs of texts that lie over each other by more than a pixel. */
export function overlaps(svg: string): string[] {
  const boxes = textBoxes(svg)
  const found: string[] = []
  for (const [i, a] of boxes.entries()) {
    for (const b of boxes.slice(i + 1)) {
      const across = Math.min(a.x1, b.x1) - Math.max(a.x0, b.x0)
      const down = Math.min(a.y1, b.y1) - Math.max(a.y0, b.y0)
      if (across > 1 && down > 1) found.push(`${a.text} / ${b.text}`)
    }
  }
  return found
}
