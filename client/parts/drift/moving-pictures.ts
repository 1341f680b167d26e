import { SIZE } from '../../../src/figures/text.tsx'
import { textWidth } from '../../../src/figures/text-width.ts'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import { type Span, shiftTo } from '../../data/timeline-span.ts'

interface MovingPicture {
  readonly frame: HTMLElement
  readonly sheet: HTMLElement
  /** Of the timeline, pixels. */
  readonly width: number
}

/**
 * Moves the figures inside an element without drawing them: over the timeline of each lies a copy of it, cut at its
 * edges, that is shifted and stretched as one picture. Names and limits beside the timeline stay where they are.
 */
export function movingPictures(element: HTMLElement) {
  let pictures: readonly MovingPicture[] = []
  const clear = () => {
    for (const { frame } of pictures) frame.remove()
    pictures = []
  }
  const show = (drawn: Span, span: Span) => {
    if (drawn[0] === span[0] && drawn[1] === span[1]) return clear()
    if (pictures.length === 0) {
      pictures = [...element.querySelectorAll<HTMLElement>('.reach')].flatMap((reach) =>
        pictureOf(reach, drawn),
      )
    }
    const { by, stretch } = shiftTo(drawn, span)
    for (const { sheet, width } of pictures)
      sheet.style.transform = `translateX(${by * width}px) scaleX(${stretch})`
  }
  return { show, clear }
}

function pictureOf(reach: HTMLElement, drawn: Span): MovingPicture[] {
  const figure = reach.querySelector<SVGSVGElement>('svg:not(.layer)')
  if (figure === null) return []
  const { scale } = timelineLayout(figure.width.baseVal.value, drawn[0], drawn[1])
  const width = scale.x1 - scale.x0
  const frame = box('moving', `left: ${scale.x0}px; width: ${width}px`)
  const sheet = box('sheet', '')
  const copy = figure.cloneNode(true) as SVGSVGElement
  copy.style.marginLeft = `${-scale.x0}px`
  // Words beside the timeline would be cut off, but only after they were laid out.
  for (const text of copy.querySelectorAll('text')) {
    const [from, to] = reachOf(text)
    if (to < scale.x0 || from > scale.x1) text.remove()
  }
  sheet.append(copy)
  frame.append(sheet)
  frame.ariaHidden = 'true'
  reach.append(frame)
  return [{ frame, sheet, width }]
}

/** Left and right edge of a line of text, in pixels. */
function reachOf(text: SVGTextElement): readonly [number, number] {
  const width = textWidth(text.textContent ?? '', SIZE)
  const x = Number(text.getAttribute('x'))
  const anchor = text.getAttribute('text-anchor')
  const from = anchor === 'end' ? x - width : anchor === 'middle' ? x - width / 2 : x
  return [from, from + width]
}

function box(name: string, style: string): HTMLElement {
  const element = document.createElement('div')
  element.className = name
  element.style.cssText = style
  return element
}
