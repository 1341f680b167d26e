/** The register of the shop's gauges and studies of them, as files. Streams of their own: nothing else moves by them. */

import { Random } from './random.ts'
import { GAUGES, type Gauge, INSPECTORS, PART_NUMBERS } from './shop.ts'

type Field = string | number

const DAY = 86_400_000

/** What studies of gauges find, mm. */
const GAUGE_TRUTH = {
  /** By how much the second inspector reads higher with the micrometer. */
  secondInspector: 0.001,
  /** And a third one, who else measures green parts. */
  thirdInspector: 0.0004,
  /** Scatter of the parts that were chosen for the study. */
  parts: 0.0075,
  /** By how much the micrometer reads lower than the coordinate measuring machine. */
  micrometerLow: 0.0012,
} as const

const CERTIFICATES = {
  'CMM-1': ['coordinate measuring machine', 'KS-4410', 0.0016, '2026-03-02', '2027-03-02'],
  'MIC-3': ['micrometer', 'KS-4187', 0.0024, '2025-11-17', '2026-11-17'],
} as const

function registerRows(): Field[][] {
  return Object.values(GAUGES).flatMap((gauge) =>
    PART_NUMBERS.map((of, i) => {
      const [kind, certificate, uncertainty, calibrated, due] = CERTIFICATES[gauge.name]
      const measured = of.characteristics.filter((each) => each.gauge === gauge.name)
      const once =
        i === 0 ? [kind, gauge.resolution, uncertainty, 2, certificate, calibrated, due] : blanks(7)
      return [gauge.name, ...once, of.partNumber, of.revision, measured.map((c) => c.designator).join(' ')]
    }),
  )
}

function blanks(count: number): string[] {
  return Array.from({ length: count }, () => '')
}

function reading(size: number, gauge: Gauge, random: Random): string {
  return (Math.round((size + gauge.sigma * random.normal()) / gauge.resolution) * gauge.resolution).toFixed(3)
}

/** Those who took part in the study, with what each reads higher than the first, mm. */
const STUDIED = [
  { name: INSPECTORS[0], higher: 0 },
  { name: INSPECTORS[1], higher: GAUGE_TRUTH.secondInspector },
  { name: 'MK', higher: GAUGE_TRUTH.thirdInspector },
] as const

/** Ten webs of the hinge bracket, three inspectors, three trials, in random order. */
function crossedRows(random: Random): Field[][] {
  const parts = Array.from({ length: 10 }, (_, i) => ({
    name: String(i + 1),
    size: 3.2 + GAUGE_TRUTH.parts * random.normal(),
  }))
  return [1, 2, 3].flatMap((trial) =>
    random.sample(STUDIED, STUDIED.length).flatMap((inspector) =>
      random.sample(parts, parts.length).map(({ name, size }) => {
        return [
          'HB-204',
          'C',
          8,
          'MIC-3',
          name,
          inspector.name,
          trial,
          reading(size + inspector.higher, GAUGES['MIC-3'], random),
        ]
      }),
    ),
  )
}

/** A hardened check piece, twice every week from July to November 2026. */
function checkRows(random: Random): Field[][] {
  const first = Date.UTC(2026, 6, 6)
  return Array.from({ length: 20 }, (_, week) => week).flatMap((week) => {
    const day = new Date(first + 7 * week * DAY).toISOString().slice(0, 10)
    const wander = 0.0004 * random.normal()
    return [1, 2].map((trial) => [
      'HB-204',
      'C',
      3,
      'MIC-3',
      'R-16',
      random.pick(INSPECTORS),
      trial,
      day,
      reading(16.004 + wander, GAUGES['MIC-3'], random),
    ])
  })
}

/** Twenty hubs of the latch lever on both gauges. */
function comparisonRows(random: Random): Field[][] {
  return Array.from({ length: 20 }, () => 16 + 0.012 * random.normal()).flatMap((size, i) =>
    ([1, 2] as const).flatMap((trial) =>
      Object.values(GAUGES).map((gauge) => {
        const low = gauge.name === 'MIC-3' ? GAUGE_TRUTH.micrometerLow : 0
        return ['LV-310', 'B', 9, gauge.name, i + 1, trial, reading(size - low, gauge, random)]
      }),
    ),
  )
}

/** Gauge blocks of known length under the micrometer. */
function knownRows(random: Random): Field[][] {
  return [2.5, 5.1, 7.7, 12.9, 17.6].flatMap((known) =>
    Array.from({ length: 6 }, () => [
      'HB-204',
      'C',
      3,
      'MIC-3',
      `block ${known}`,
      known.toFixed(3),
      reading(known - GAUGE_TRUTH.micrometerLow, GAUGES['MIC-3'], random),
    ]),
  )
}

const OF = ['part_number', 'revision', 'characteristic', 'gauge']

export interface GaugeFile {
  readonly headings: readonly string[]
  readonly rows: readonly (readonly Field[])[]
}

const REGISTER = [
  'gauge',
  'kind',
  'resolution',
  'expanded_uncertainty',
  'coverage_factor',
  'certificate',
  'calibrated_on',
  'due',
  'part_number',
  'revision',
  'characteristics',
]

/** Every file about gauges, by its name. */
export function gaugeFiles(seed: number): Map<string, GaugeFile> {
  const stream = (name: string) => Random.stream(seed, `gauges ${name}`)
  const study = (own: readonly string[], rows: readonly (readonly Field[])[]): GaugeFile => ({
    headings: [...OF, ...own],
    rows,
  })
  return new Map([
    ['register', { headings: REGISTER, rows: registerRows() }],
    ['MIC-3-web', study(['part', 'inspector', 'trial', 'value'], crossedRows(stream('crossed')))],
    [
      'MIC-3-check-part',
      study(['check_part', 'inspector', 'trial', 'date', 'value'], checkRows(stream('check part'))),
    ],
    ['MIC-3-known-parts', study(['part', 'reference_value', 'value'], knownRows(stream('known parts')))],
    ['CMM-1-and-MIC-3', study(['part', 'trial', 'value'], comparisonRows(stream('comparison')))],
  ])
}
