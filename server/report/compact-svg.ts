/**
 * The same picture in fewer elements, since each costs the printer time and room: circles that follow one another and
 * look alike become one path, and groups that say nothing are opened.
 */
export function compactSvg(svg: string): string {
  // Groups either all say nothing, or they are left as they are.
  const open = svg.includes('<g ') ? svg : svg.replace(/<\/?g>/g, '')
  return open.replace(/(?:<circle [^>]*><\/circle>){2,}/g, (circles) => merged(circles))
}

interface Look {
  readonly attributes: string
  path: string
}

function merged(circles: string): string {
  const looks: Look[] = []
  for (const [, cx, cy, r, attributes] of circles.matchAll(
    /<circle cx="([^"]*)" cy="([^"]*)" r="([^"]*)"([^>]*)><\/circle>/g,
  )) {
    const look = lookOf(Number(cx), Number(cy), Number(r), attributes as string)
    const last = looks.at(-1)
    if (last !== undefined && last.attributes === look.attributes) last.path += look.path
    else looks.push(look)
  }
  return looks.map(({ attributes, path }) => `<path d="${path}"${attributes}></path>`).join('')
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
