import { render, type VNode } from 'preact'

const SVG = 'http://www.w3.org/2000/svg'

/** Draws a figure apart from the page, to be saved. */
export function drawApart(figure: VNode): SVGSVGElement {
  const holder = document.createElement('div')
  render(figure, holder)
  const svg = holder.querySelector('svg')
  if (svg === null) throw new Error('the figure drew nothing')
  return svg
}

/** The figure as a file of its own, on a ground of the given colour. */
export function svgText(svg: SVGSVGElement, ground: string): string {
  const copy = svg.cloneNode(true) as SVGSVGElement
  copy.setAttribute('xmlns', SVG)
  const back = document.createElementNS(SVG, 'rect')
  back.setAttribute('width', '100%')
  back.setAttribute('height', '100%')
  back.setAttribute('fill', ground)
  copy.insertBefore(back, copy.firstChild)
  return `<?xml version="1.0" encoding="UTF-8"?>\n${new XMLSerializer().serializeToString(copy)}\n`
}
