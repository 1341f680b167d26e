/**
 * The same picture in fewer elements, since each costs the printer time and room: circles that follow one another and
 * look alike become one path, and so do rectangles; groups that say nothing are opened.
 */
export function compactSvg(svg: string): string {
  // Groups either all say nothing, or they are left as they are.
  const open = svg.includes('<g ') ? svg : svg.replace(/<\/?g>/g, '')
  return open
    .replace(/(?:<circle [^>]*><\/circle>){2,}/g, (circles) => merged(circlesOf(circles)))
    .replace(/(?:<rect [^>]*><\/rect>){2,}/g, (rects) => merged(rectsOf(rects)))
}

interface Look {
  readonly attributes: string
  path: string
}

/** Neighbours of the same look as one path. */
function merged(shapes: readonly Look[]): string {
  const looks: Look[] = []
  for (const { attributes, path } of shapes) {
    const last = looks.at(-1)
    if (last !== undefined && last.attributes === attributes) last.path += path
    else looks.push({ attributes, path })
  }
  return looks.map(({ attributes, path }) => `<path d="${path}"${attributes}></path>`).join('')
}

function circlesOf(svg: string): Look[] {
  return [...svg.matchAll(/<circle cx="([^"]*)" cy="([^"]*)" r="([^"]*)"([^>]*)><\/circle>/g)].map(
    ([, cx, cy, r, attributes]) => lookOf(Number(cx), Number(cy), Number(r), attributes as string),
  )
}

function rectsOf(svg: string): Look[] {
  return [
    ...svg.matchAll(/<rect x="([^"]*)" y="([^"]*)" width="([^"]*)" height="([^"]*)"([^>]*)><\/rect>/g),
  ].map(([, x, y, width, height, attributes]) => ({
    attributes: attributes as string,
    path: `M${x} ${y}h${width}v${height}h-${width}z`,
  }))
}

/** A smaller filled circle, in pixels, is drawn as a short thick line: on paper it is a dot all the same. */
const LEAST_ROUND = 1.7

function lookOf(cx: number, cy: number, r: number, attributes: string): Look {
  const filled = / fill="(#[0-9a-f]{6})" stroke="#ffffff"/.exec(attributes)
  if (filled === null || r >= LEAST_ROUND) return { attributes, path: circle(cx, cy, r) }
  return {
    attributes: ` fill="none" stroke="${filled[1]}" stroke-width="${rounded(2 * r)}"`,
    path: `M${rounded(cx - r)} ${rounded(cy)}h${rounded(2 * r)}`,
  }
}

function rounded(value: number): string {
  return String(Math.round(value * 100) / 100)
}

/** Where the handles of a quarter of a circle lie, of the radius: (4/3)(√2 − 1). */
const HANDLE = 0.5523

function circle(cx: number, cy: number, r: number): string {
  const [full, handle, rest] = [rounded(r), rounded(r * HANDLE), rounded(r * (1 - HANDLE))]
  return [
    `M${rounded(cx + r)} ${rounded(cy)}`,
    `c0 ${handle} -${rest} ${full} -${full} ${full}`,
    `c-${handle} 0 -${full} -${rest} -${full} -${full}`,
    `c0 -${handle} ${rest} -${full} ${full} -${full}`,
    `c${handle} 0 ${full} ${rest} ${full} ${full}z`,
  ].join('')
}
