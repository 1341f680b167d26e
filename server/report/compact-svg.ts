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
    const path = circle(Number(cx), Number(cy), Number(r))
    const last = looks.at(-1)
    if (last !== undefined && last.attributes === attributes) last.path += path
    else looks.push({ attributes: attributes as string, path })
  }
  return looks.map(({ attributes, path }) => `<path d="${path}"${attributes}></path>`).join('')
}

/** Where the handles of a quarter of a circle lie, of the radius: (4/3)(√2 − 1). */
const HANDLE = 0.5523

function circle(cx: number, cy: number, r: number): string {
  const n = (value: number) => String(Math.round(value * 100) / 100)
  const [full, handle, rest] = [n(r), n(r * HANDLE), n(r * (1 - HANDLE))]
  return [
    `M${n(cx + r)} ${n(cy)}`,
    `c0 ${handle} -${rest} ${full} -${full} ${full}`,
    `c-${handle} 0 -${full} -${rest} -${full} -${full}`,
    `c0 -${handle} ${rest} -${full} ${full} -${full}`,
    `c${handle} 0 ${full} ${rest} ${full} ${full}z`,
  ].join('')
}
