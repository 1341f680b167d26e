import { scaleLinear } from 'd3'
import type { PlaceEffect, PlaceEffects } from '../shrinkage/place-effects.ts'
import { formatNumber, formatSigned } from '../words/format.ts'
import { level } from './deviation-cells.ts'
import { levelFill } from './deviation-squares.ts'
import type { Palette } from './palette.ts'
import { round, Text } from './text.tsx'

interface PlaceEffectsMapProps {
  readonly places: PlaceEffects
  readonly width: number
  readonly palette: Palette
  readonly label: string
}

const HEAD = 26
const TALLEST = 300
const ROW = 22
/** The strongest effect has the strongest colour. */
const STRONGEST = 3

/** Lasting effects of places along one axis, per cent of size: the bed from above, its layers, and the trays. */
export function PlaceEffectsMap({ places, width, palette, label }: PlaceEffectsMapProps) {
  const all = places.components.flatMap(({ effects }) => effects)
  const most = Math.max(Number.MIN_VALUE, ...all.map(({ value }) => Math.abs(value)))
  const fill = ({ value }: PlaceEffect) => levelFill(level((STRONGEST * value) / most), palette)
  const boxes = all.flatMap((effect) => ('x' in effect.place ? [{ effect, ...effect.place }] : []))
  const layers = all.flatMap((effect) => ('z' in effect.place ? [{ effect, z: effect.place.z }] : []))
  const trays = all
    .flatMap((effect) => ('tray' in effect.place ? [{ effect, tray: effect.place.tray.trim() }] : []))
    .toSorted((a, b) => a.tray.localeCompare(b.tray, 'en', { numeric: true }))
  const narrow = width < 560
  const layerWidth = layers.length === 0 ? 0 : narrow ? 74 : 150
  const room = Math.min(560, width - layerWidth - (layers.length === 0 ? 2 : 24))
  const range = (ends: readonly (readonly [number, number])[]): [number, number] => [
    Math.min(...ends.map(([low]) => low)),
    Math.max(...ends.map(([, high]) => high)),
  ]
  const [xs, ys] = [range(boxes.map(({ x }) => x)), range(boxes.map(({ y }) => y))]
  const scale = Math.min(room / (xs[1] - xs[0]), TALLEST / (ys[1] - ys[0]))
  const planHeight = boxes.length === 0 ? (layers.length === 0 ? 0 : 160) : (ys[1] - ys[0]) * scale
  const across = boxes.length === 0 ? 0 : (xs[1] - xs[0]) * scale
  const zs = range(layers.map(({ z }) => z))
  const up = scaleLinear(zs, [HEAD + planHeight, HEAD])
  const below = planHeight === 0 ? 0 : HEAD + planHeight + 34
  const height = below + (trays.length === 0 ? 0 : HEAD + trays.length * ROW)
  const text = ({ value }: PlaceEffect) => formatSigned(100 * value, 3)
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      {boxes.length > 0 && (
        <Text x={0} y={14} palette={palette} tone="soft">
          {narrow ? 'from above, %' : 'the bed from above: size beside the mean, %'}
        </Text>
      )}
      {boxes.map(({ effect, x, y }) => {
        const left = (x[0] - xs[0]) * scale
        const top = HEAD + (ys[1] - y[1]) * scale
        const [wide, tall] = [(x[1] - x[0]) * scale, (y[1] - y[0]) * scale]
        return (
          <g key={`${x[0]} ${y[0]}`}>
            <rect
              x={round(left)}
              y={round(top)}
              width={round(wide)}
              height={round(tall)}
              {...fill(effect)}
              stroke={palette.paper}
            />
            {wide > 46 && (
              <Text x={left + wide / 2} y={top + tall / 2 + 4} palette={palette} anchor="middle">
                {text(effect)}
              </Text>
            )}
          </g>
        )
      })}
      {boxes.length > 0 && (
        <Text x={0} y={HEAD + planHeight + 18} palette={palette} tone="soft">
          {`x ${formatNumber(xs[0], 0)} to ${formatNumber(xs[1], 0)} mm, y ${formatNumber(ys[0], 0)} to ${formatNumber(ys[1], 0)} mm`}
        </Text>
      )}
      {layers.length > 0 && (
        <Text x={across + 22} y={14} palette={palette} tone="soft">
          {narrow ? 'by height' : 'by height, %'}
        </Text>
      )}
      {layers.map(({ effect, z }) => (
        <g key={z[0]}>
          <rect
            x={round(across + 22)}
            y={round(up(z[1]))}
            width={narrow ? 50 : 64}
            height={round(up(z[0]) - up(z[1]))}
            {...fill(effect)}
            stroke={palette.paper}
          />
          <Text
            x={across + 22 + (narrow ? 25 : 32)}
            y={(up(z[0]) + up(z[1])) / 2 + 4}
            palette={palette}
            anchor="middle"
          >
            {text(effect)}
          </Text>
          {!narrow && (
            <Text x={across + 92} y={(up(z[0]) + up(z[1])) / 2 + 4} palette={palette} tone="soft">
              {`${formatNumber(z[0], 0)} to ${formatNumber(z[1], 0)} mm`}
            </Text>
          )}
        </g>
      ))}
      {trays.length > 0 && (
        <Text x={0} y={below + 14} palette={palette} tone="soft">
          {narrow ? 'furnace and tray, %' : 'furnace and tray, % ± standard error'}
        </Text>
      )}
      {trays.map(({ effect, tray }, i) => {
        const y = below + HEAD + i * ROW
        return (
          <g key={tray}>
            <rect x={0} y={y} width={64} height={ROW - 3} {...fill(effect)} />
            <Text x={32} y={y + 14} palette={palette} anchor="middle">
              {text(effect)}
            </Text>
            <Text x={74} y={y + 14} palette={palette} tone="soft">
              {`± ${formatNumber(100 * effect.standardError, 3)}   ${tray}, ${effect.parts} parts`}
            </Text>
          </g>
        )
      })}
    </svg>
  )
}
