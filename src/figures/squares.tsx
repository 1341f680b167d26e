import { type DeviationSquare, levelFill, squarePaths } from './deviation-squares.ts'
import type { Palette } from './palette.ts'

/** Squares coloured by deviation: a wash below, so that pale colours keep their edge. */
export function Squares({ squares, palette }: { squares: readonly DeviationSquare[]; palette: Palette }) {
  const { levels, notches } = squarePaths(squares)
  return (
    <g>
      <path d={levels.map(({ d }) => d).join('')} fill={palette.wash} />
      {levels
        .filter(({ level }) => level !== 0)
        .map(({ level, d }) => (
          <path key={level} d={d} {...levelFill(level, palette)} />
        ))}
      {notches !== '' && <path d={notches} fill={palette.paper} />}
    </g>
  )
}
