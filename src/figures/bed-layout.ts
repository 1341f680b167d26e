import type { BedCell, BedModel, Extent, PlacedPart } from '../places/model.ts'
import type { DeviationSquare } from './deviation-squares.ts'

/** The bed seen from above (x, y), or from the front (x, z). */
export type BedFace = 'plan' | 'front'

/** Where a face of the bed stands on the figure: millimetres to pixels, upwards on paper as in the bed. */
export interface FaceFrame {
  readonly face: BedFace
  readonly left: number
  readonly top: number
  readonly width: number
  readonly height: number
  readonly across: Extent
  readonly up: Extent
}

/** Pixels kept free between squares. */
const GAP = 1
/** Largest square of a single part, pixels. */
const LARGEST = 12

export function faceX(frame: FaceFrame, x: number): number {
  return frame.left + ((x - frame.across[0]) / (frame.across[1] - frame.across[0])) * frame.width
}

export function faceY(frame: FaceFrame, up: number): number {
  return frame.top + frame.height - ((up - frame.up[0]) / (frame.up[1] - frame.up[0])) * frame.height
}

/** The boxes of the bed that lie behind one another on a face, merged, in standard errors of their mean. */
export function faceCells(
  cells: readonly BedCell[],
  face: BedFace,
): { x: number; up: number; n: number; mean: number }[] {
  const merged = new Map<string, { x: number; up: number; n: number; sum: number }>()
  for (const { x, y, z, n, mean } of cells) {
    const up = face === 'plan' ? y : z
    const key = `${x} ${up}`
    const known = merged.get(key) ?? { x, up, n: 0, sum: 0 }
    known.n += n
    known.sum += n * mean
    merged.set(key, known)
  }
  return [...merged.values()].map(({ x, up, n, sum }) => ({ x, up, n, mean: sum / n }))
}

/** Boxes that hold the parts, as they come from the server where there are too many parts. */
export function boxesOf(bed: BedModel): readonly BedCell[] {
  if (bed.parts === null) return bed.cells
  const corner = [bed.x[0], bed.y[0], bed.z[0]] as const
  const merged = new Map<string, { x: number; y: number; z: number; n: number; sum: number }>()
  for (const part of bed.parts) {
    const [x, y, z] = [part.x, part.y, part.z].map((at, i) => {
      const [from, step] = [corner[i] as number, bed.step[i] as number]
      return from + Math.floor((at - from) / step) * step
    }) as [number, number, number]
    const key = `${x} ${y} ${z}`
    const known = merged.get(key) ?? { x, y, z, n: 0, sum: 0 }
    known.n++
    known.sum += part.deviation
    merged.set(key, known)
  }
  return [...merged.values()].map(({ sum, ...box }) => ({ ...box, mean: sum / box.n }))
}

/** Boxes as squares of the figure. */
export function boxSquares(bed: BedModel, frame: FaceFrame): DeviationSquare[] {
  const [dx, dy, dz] = bed.step
  const rise = frame.face === 'plan' ? dy : dz
  return faceCells(boxesOf(bed), frame.face).map(({ x, up, n, mean }) => {
    const left = faceX(frame, x)
    const top = faceY(frame, up + rise)
    return {
      x: left,
      y: top,
      width: faceX(frame, x + dx) - left - GAP,
      height: faceY(frame, up) - top - GAP,
      deviation: mean * Math.sqrt(n),
    }
  })
}

/**
 * Every part as a square of its own at its place. Parts of different builds that lay at the same place, and on the front
 * those behind one another, are set side by side in the order of builds.
 */
export function partSquares(parts: readonly PlacedPart[], frame: FaceFrame): DeviationSquare[] {
  const places = new Map<string, { x: number; y: number; parts: PlacedPart[] }>()
  for (const part of parts) {
    const x = faceX(frame, part.x)
    const y = faceY(frame, frame.face === 'plan' ? part.y : part.z)
    const key = `${Math.round(x)} ${Math.round(y)}`
    const place = places.get(key)
    if (place === undefined) places.set(key, { x, y, parts: [part] })
    else place.parts.push(part)
  }
  const list = [...places.values()]
  const [roomX, roomY] = spacing(list)
  const most = Math.max(...list.map((place) => place.parts.length))
  // As many columns as make the squares of the fullest place largest.
  let columns = 1
  let size = 0
  for (let tried = 1; tried <= most; tried++) {
    const fits = Math.min(roomX / tried, roomY / Math.ceil(most / tried))
    if (fits > size) {
      size = fits
      columns = tried
    }
  }
  size = Math.max(1, Math.min(LARGEST, size))
  const edge = size > 3 ? size - GAP : size
  return list.flatMap((place) => {
    const wide = Math.min(columns, place.parts.length)
    const high = Math.ceil(place.parts.length / wide)
    return place.parts.map((part, i) => ({
      x: place.x - (wide * size) / 2 + (i % wide) * size,
      y: place.y - (high * size) / 2 + Math.floor(i / wide) * size,
      width: edge,
      height: edge,
      deviation: part.deviation,
    }))
  })
}

/** Room that every place has to itself along x and y, in pixels. */
function spacing(places: readonly { readonly x: number; readonly y: number }[]): [number, number] {
  const least = (values: readonly number[]) => {
    const sorted = [...new Set(values.map(Math.round))].sort((a, b) => a - b)
    let room = 4 * LARGEST
    for (let i = 1; i < sorted.length; i++)
      room = Math.min(room, (sorted[i] as number) - (sorted[i - 1] as number))
    return room
  }
  return [least(places.map(({ x }) => x)), least(places.map(({ y }) => y))]
}
