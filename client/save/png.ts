/**
 * The figure as a PNG, `scale` pixels to one of the figure's.
 *
 * Painted element by element: an image made from the SVG text would lose the page's fonts, which an image may not
 * load. Knows what figures are made of: g, rect, line, path, circle and text, with presentation attributes and
 * colours as values.
 */
export function pngBlob(svg: SVGSVGElement, scale: number): Promise<Blob> {
  const canvas = document.createElement('canvas')
  canvas.width = Math.round(number(svg, 'width') * scale)
  canvas.height = Math.round(number(svg, 'height') * scale)
  const context = canvas.getContext('2d')
  if (context === null) return Promise.reject(new Error('this browser cannot paint a picture'))
  context.scale(scale, scale)
  for (const child of svg.children) paint(child, context)
  return new Promise((resolve, reject) => {
    canvas.toBlob(
      (blob) => (blob === null ? reject(new Error('the picture is too large')) : resolve(blob)),
      'image/png',
    )
  })
}

function paint(element: Element, context: CanvasRenderingContext2D): void {
  if (element.tagName === 'g') {
    const [x = 0, y = 0] = (element.getAttribute('transform') ?? '').match(/-?[\d.]+/g)?.map(Number) ?? []
    context.translate(x, y)
    for (const child of element.children) paint(child, context)
    context.translate(-x, -y)
    return
  }
  if (element.tagName === 'text') {
    paintText(element, context)
    return
  }
  const path = outline(element)
  if (path === null) return
  const fill = element.getAttribute('fill') ?? 'black'
  if (fill !== 'none' && element.tagName !== 'line') {
    context.globalAlpha = number(element, 'fill-opacity', 1)
    context.fillStyle = fill
    context.fill(path)
  }
  const stroke = element.getAttribute('stroke')
  if (stroke !== null && stroke !== 'none') {
    context.globalAlpha = number(element, 'stroke-opacity', 1)
    context.strokeStyle = stroke
    context.lineWidth = number(element, 'stroke-width', 1)
    context.setLineDash(
      (element.getAttribute('stroke-dasharray') ?? '').split(/[ ,]+/).filter(Boolean).map(Number),
    )
    context.stroke(path)
  }
  context.globalAlpha = 1
}

function outline(element: Element): Path2D | null {
  const path = new Path2D()
  switch (element.tagName) {
    case 'rect':
      path.roundRect(
        number(element, 'x', 0),
        number(element, 'y', 0),
        number(element, 'width', 0),
        number(element, 'height', 0),
        number(element, 'rx', 0),
      )
      return path
    case 'line':
      path.moveTo(number(element, 'x1', 0), number(element, 'y1', 0))
      path.lineTo(number(element, 'x2', 0), number(element, 'y2', 0))
      return path
    case 'circle':
      path.arc(number(element, 'cx', 0), number(element, 'cy', 0), number(element, 'r', 0), 0, 2 * Math.PI)
      return path
    case 'path':
      return new Path2D(element.getAttribute('d') ?? '')
    default:
      return null
  }
}

const ALIGN: Readonly<Record<string, CanvasTextAlign>> = { start: 'left', middle: 'center', end: 'right' }

function paintText(element: Element, context: CanvasRenderingContext2D): void {
  const size = number(element, 'font-size', 12)
  context.font = `${element.getAttribute('font-weight') ?? '400'} ${size}px ${element.getAttribute('font-family') ?? 'sans-serif'}`
  context.textAlign = ALIGN[element.getAttribute('text-anchor') ?? 'start'] ?? 'left'
  context.fillStyle = element.getAttribute('fill') ?? 'black'
  context.fillText(element.textContent ?? '', number(element, 'x', 0), number(element, 'y', 0))
}

function number(element: Element, attribute: string, otherwise = 0): number {
  const text = element.getAttribute(attribute)
  return text === null ? otherwise : Number(text)
}
