import { render, type VNode } from 'preact'
import type { Palette } from '../../src/figures/palette.ts'

const SVG = 'http://www.w3.org/2000/svg'
const MARGIN = 24
const TITLE = 32

/**
 * Draws a figure apart from the page, to be saved: on a ground of its own, with a margin, under its title.
 *
 * @param palette with colours as values, since a file knows nothing of the page's style
 */
export function drawApart(figure: VNode, title: string, palette: Palette): SVGSVGElement {
  const holder = document.createElement('div')
  render(figure, holder)
  const drawn = holder.querySelector('svg')
  if (drawn === null) throw new Error('the figure drew nothing')
  const width = Number(drawn.getAttribute('width')) + 2 * MARGIN
  const height = Number(drawn.getAttribute('height')) + 2 * MARGIN + TITLE
  const svg = element('svg', { width, height, viewBox: `0 0 ${width} ${height}` })
  const heading = element('text', {
    x: MARGIN,
    y: MARGIN + 12,
    fill: palette.ink,
    'font-family': palette.font,
    'font-size': 15,
  })
  heading.textContent = title
  const body = element('g', { transform: `translate(${MARGIN} ${MARGIN + TITLE})` })
  body.append(...drawn.childNodes)
  svg.append(element('rect', { width, height, fill: palette.paper }), heading, body)
  return svg as SVGSVGElement
}

/** The figure as the text of a file. */
export function svgText(svg: SVGSVGElement): string {
  return `<?xml version="1.0" encoding="UTF-8"?>\n${new XMLSerializer().serializeToString(svg)}\n`
}

function element(name: string, attributes: Readonly<Record<string, string | number>>): Element {
  const made = document.createElementNS(SVG, name)
  for (const [attribute, value] of Object.entries(attributes)) {
    made.setAttribute(attribute, String(value))
  }
  return made
}
