import { randomSource } from '../../../src/numbers/random-source.ts'
import { openShop, type Shop } from '../intake/shop.ts'

/** A shop with awkward names and sizes, for reports: 30 builds of 6 parts. */

export interface AwkwardCharacteristic {
  readonly designator: string
  readonly name: string
  readonly kind: string
  readonly nominal: number
  readonly half: number
}

export const LONG_NAME = 'Distance from the upper face of the second mounting ear to the axis of the bore, A1'
export const UNBROKEN = 'W'.repeat(80)

export const CHARACTERISTICS: readonly AwkwardCharacteristic[] = [
  { designator: '1', name: LONG_NAME, kind: 'length', nominal: 42, half: 0.12 },
  { designator: '2', name: UNBROKEN, kind: 'length', nominal: 8, half: 0.05 },
  { designator: '3', name: '=HYPERLINK("a","b")', kind: 'length', nominal: 1e6, half: 20 },
  { designator: '4', name: '-1+1', kind: 'length', nominal: 0.00001, half: 0.000005 },
  { designator: '5', name: '+cmd', kind: 'length', nominal: 16, half: 0.1 },
  { designator: '6', name: '@SUM(1)', kind: 'length', nominal: 3, half: 0.1 },
  { designator: '7', name: 'Höhe, 高さ, высота, ύψος ⌀', kind: 'length', nominal: 5, half: 0.1 },
]

const quoted = (text: string) => `"${text.replaceAll('"', '""')}"`

export async function openReportShop(
  characteristics: readonly AwkwardCharacteristic[] = CHARACTERISTICS,
  builds = 30,
): Promise<Shop> {
  const shop = await openShop()
  const drawing = [
    'part_number,revision,part_name,designator,name,kind,nominal,lower,upper,unit,axis',
    ...characteristics.map(
      ({ designator, name, kind, nominal, half }) =>
        `HB-204,C,hinge bracket,${designator},${quoted(name)},${kind},${fixed(nominal)},${fixed(nominal - half)},${fixed(nominal + half)},mm,X`,
    ),
  ].join('\n')
  const drawn = await shop.bring(drawing, {}, 'drawing.csv')
  if (drawn.verdict !== 'taken') throw new Error(JSON.stringify(drawn))
  const random = randomSource(20_261_125)
  const rows = ['part_number,revision,serial,build,characteristic,value,gauge']
  for (let build = 0; build < builds; build++) {
    for (let part = 0; part < 6; part++) {
      for (const { designator, nominal, half } of characteristics) {
        // Sums of twelve uniform numbers scatter nearly normally.
        let z = -6
        for (let k = 0; k < 12; k++) z += random.uniform()
        rows.push(
          `HB-204,C,S${build * 6 + part + 1},${410 + build},${designator},${fixed(nominal + (half * z) / 5)},CMM-1`,
        )
      }
    }
  }
  const taken = await shop.bring(rows.join('\n'), {}, 'measured.csv')
  if (taken.verdict !== 'taken') throw new Error(JSON.stringify(taken).slice(0, 2000))
  return shop
}

function fixed(value: number): string {
  return value.toFixed(Math.abs(value) < 0.001 ? 9 : 4)
}
