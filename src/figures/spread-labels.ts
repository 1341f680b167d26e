/**
 * Places for labels on one line so that neighbours stand at least `gap` apart, each as near as can be to where
 * it belongs: overlapping labels are gathered into a block about their common centre, and the block kept inside
 * [min, max] where it fits.
 *
 * @param wanted positions, any order
 * @returns positions in the order of `wanted`
 */
export function spreadLabels(wanted: readonly number[], gap: number, min: number, max: number): number[] {
  const order = wanted.map((_, i) => i).sort((a, b) => (wanted[a] as number) - (wanted[b] as number))
  const blocks: { members: number[]; start: number }[] = []
  for (const i of order) {
    blocks.push({ members: [i], start: clamp(wanted[i] as number, min, max) })
    while (blocks.length > 1) {
      const last = blocks[blocks.length - 1] as (typeof blocks)[number]
      const before = blocks[blocks.length - 2] as (typeof blocks)[number]
      if (last.start - (before.start + (before.members.length - 1) * gap) >= gap) break
      const members = [...before.members, ...last.members]
      const centre = members.reduce((sum, m, k) => sum + (wanted[m] as number) - k * gap, 0) / members.length
      blocks.splice(-2, 2, { members, start: clamp(centre, min, max - (members.length - 1) * gap) })
    }
  }
  const placed = new Array<number>(wanted.length)
  for (const block of blocks) for (const [k, i] of block.members.entries()) placed[i] = block.start + k * gap
  return placed
}

function clamp(value: number, min: number, max: number): number {
  return Math.max(min, Math.min(max, value))
}
