import type { ImportProgress, Receipt } from '../../server/contract/receipt.ts'
import type {
  CapabilityView,
  ChartView,
  DriftView,
  PartNumber,
  SubgroupView,
  TimelineBuild,
} from '../../server/contract/views.ts'
import { summariseCapability } from '../../src/capability/summarise.ts'
import { buildChart } from '../../src/charts/chart.ts'
import { DEFAULT_STUDY } from '../../src/charts/study.ts'
import { subgroupsByBuild } from '../../src/charts/subgroups.ts'
import { momentsOf } from '../../src/description/moments.ts'
import type { Cell } from '../../src/domain/cell.ts'
import { cellColumns } from '../../src/domain/cell-columns.ts'
import type { Axis, Characteristic, CharacteristicKind } from '../../src/domain/characteristic.ts'
import { buildOverview } from '../../src/overview/build-overview.ts'
import { capabilityWords } from '../../src/words/capability-words.ts'
import { chartGrounds } from '../../src/words/chart-words.ts'
import { testWords } from '../../src/words/signal.ts'

/** An invented part number with a change of shrinkage along Z, the same in every run: for tests and for looking at. */

export const PART_NUMBER: PartNumber = { id: 1, number: 'HB-204', revision: 'C', name: 'hinge bracket' }

/** From this build on everything along Z comes out small. */
export const MOVED_AT = 41

interface Plan {
  readonly designator: string
  readonly name: string
  readonly nominal: number
  readonly half: number
  readonly axis: Axis | null
  readonly kind: CharacteristicKind
  readonly floor?: boolean
}

const PLANS: readonly Plan[] = [
  { designator: '1', name: 'length overall', nominal: 42, half: 0.12, axis: 'X', kind: 'length' },
  { designator: '2', name: 'width', nominal: 26, half: 0.1, axis: 'Y', kind: 'length' },
  { designator: '3', name: 'height', nominal: 16, half: 0.1, axis: 'Z', kind: 'length' },
  { designator: '4', name: 'boss spacing', nominal: 18, half: 0.08, axis: 'X', kind: 'length' },
  { designator: '5', name: 'ear spacing', nominal: 14, half: 0.08, axis: 'Y', kind: 'length' },
  { designator: '6', name: 'ear height', nominal: 11, half: 0.08, axis: 'Z', kind: 'length' },
  { designator: '7', name: 'slot width', nominal: 3.2, half: 0.05, axis: 'X', kind: 'length' },
  { designator: '8', name: 'web', nominal: 2.4, half: 0.06, axis: 'Y', kind: 'thickness' },
  { designator: '9', name: 'step', nominal: 12.4, half: 0.08, axis: 'Z', kind: 'length' },
  { designator: '10', name: 'lug height', nominal: 9, half: 0.08, axis: 'Z', kind: 'length' },
  { designator: '11', name: 'pin bore diameter', nominal: 6, half: 0.05, axis: null, kind: 'diameter' },
  { designator: '12', name: 'flatness A', nominal: 0, half: 0.08, axis: null, kind: 'flatness', floor: true },
]

/** Numbers between 0 and 1 that are the same in every run. */
export function randomNumbers(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return (state + 0.5) / 2 ** 32
  }
}

function normals(seed: number): () => number {
  const next = randomNumbers(seed)
  return () => Math.sqrt(-2 * Math.log(next())) * Math.cos(2 * Math.PI * next())
}

export const CHARACTERISTICS: readonly Characteristic[] = PLANS.map((plan, i) => ({
  id: i + 1,
  designator: plan.designator,
  name: plan.name,
  kind: plan.kind,
  nominal: plan.floor ? null : plan.nominal,
  lower: plan.floor ? null : Number((plan.nominal - plan.half).toFixed(3)),
  upper: Number((plan.nominal + plan.half).toFixed(3)),
  unit: 'mm',
  axis: plan.axis,
}))

const START = Date.UTC(2026, 7, 1) / 1000

export function timeline(count: number): TimelineBuild[] {
  return Array.from({ length: count }, (_, i) => ({
    id: i + 1,
    name: String(400 + i).padStart(4, '0'),
    printedAt: START + i * 86_400 * 1.5,
    printer: 'PR-1',
    buildBox: `BX-${1 + (i % 3)}`,
    powderLot: i < 19 ? 'K6' : i < MOVED_AT ? 'K7' : 'K8',
    powderReuse: i % 8,
    scale: { x: 1.1791, y: 1.1794, z: i < 30 ? 1.1846 : 1.1852 },
    conditions: {},
    furnaces: [Math.floor(i / 13) % 2 === 0 ? '1' : '2'],
    gauges: ['CMM-1'],
  }))
}

/** Single values of one characteristic in one build. */
export function valuesOf(characteristic: Characteristic, position: number): number[] {
  const plan = PLANS[characteristic.id - 1] as Plan
  const random = normals(characteristic.id * 7919 + position * 104_729 + 17)
  random()
  const n = plan.designator === '8' ? 3 : plan.designator === '7' ? 8 : 24
  if (plan.floor) return Array.from({ length: n }, () => round(0.03 + Math.abs(random()) * 0.008))
  const between = plan.half * 0.1 * random()
  const shift = plan.axis === 'Z' && position >= MOVED_AT ? -plan.nominal * 0.0014 : 0
  const within = plan.half * 0.15
  return Array.from({ length: n }, () => round(plan.nominal + between + shift + within * random()))
}

function round(value: number): number {
  return Math.round(value * 1000) / 1000
}

export function cellsOf(characteristic: Characteristic, count: number): Cell[] {
  return Array.from({ length: count }, (_, position) => ({
    ...momentsOf(valuesOf(characteristic, position)),
    characteristicId: characteristic.id,
    buildId: position + 1,
    furnaceLoadId: null,
    stage: 'sintered' as const,
  }))
}

export function driftFixture(count = 60): DriftView {
  const builds = timeline(count)
  const charted = CHARACTERISTICS.map((characteristic) => ({
    characteristic,
    study: DEFAULT_STUDY,
    cells: cellColumns(cellsOf(characteristic, count)),
  }))
  return {
    partNumber: PART_NUMBER,
    stage: 'sintered',
    builds,
    overview: buildOverview(charted, builds),
    findings: [],
    remarks: [],
  }
}

export function chartFixture(designator: string, count = 60): ChartView {
  const characteristic = CHARACTERISTICS.find((each) => each.designator === designator) as Characteristic
  const builds = timeline(count)
  const chart = buildChart(DEFAULT_STUDY, cellsOf(characteristic, count), builds)
  return {
    partNumber: PART_NUMBER,
    characteristic,
    stage: 'sintered',
    builds,
    chart,
    grounds: chartGrounds(characteristic, chart),
    signalWords: chart.signals.map(testWords),
    falseAlarmEvery: chart.signals.map(() => 370),
    answers: chart.signals.map(() => null),
    gaugeWords: [],
    study: {
      version: 0,
      tests: DEFAULT_STUDY.tests,
      within: DEFAULT_STUDY.within,
      step: DEFAULT_STUDY.step,
      repeats: 'every',
      opened: [],
      history: [],
    },
    exclusions: [],
  }
}

export function subgroupFixture(designator: string, buildName: string): SubgroupView {
  const characteristic = CHARACTERISTICS.find((each) => each.designator === designator) as Characteristic
  const builds = timeline(300)
  const position = builds.findIndex((build) => build.name === buildName)
  return {
    build: builds[position] as TimelineBuild,
    exclusions: [],
    values: valuesOf(characteristic, position).map((value, i) => ({
      serial: `HB-${buildName}-${String(i + 1).padStart(2, '0')}`,
      value,
      replicate: 1,
      tray: String(1 + (i % 6)),
      trayPlace: String(1 + Math.floor(i / 6)),
      bed: { x: 20 + (i % 5) * 60, y: 20 + Math.floor(i / 5) * 40, z: 40 },
      furnaceLoad: `L-${buildName}`,
      gauge: 'CMM-1',
      inspector: 'ER',
      measuredAt: START + position * 129_600 + 100_000 + i * 60,
      importId: position + 1,
      fileName: `${buildName}.csv`,
      line: 2 + i * 12,
    })),
  }
}

export function capabilityFixture(required = 1.33, confidence = 0.95, count = 60): CapabilityView {
  const builds = timeline(count)
  const rows = CHARACTERISTICS.flatMap((characteristic) => {
    const cells = cellsOf(characteristic, count)
    const chart = buildChart(DEFAULT_STUDY, cells, builds)
    const row = summariseCapability({
      characteristic,
      groups: subgroupsByBuild(cells, builds),
      chart,
      study: DEFAULT_STUDY,
      requirement: { index: 'Ppk', value: required, confidence, class: null },
      shape: null,
      ownTolerance: null,
    })
    return row === null ? [] : [row]
  })
  const [first, last] = [builds[0]?.name ?? '', builds.at(-1)?.name ?? '']
  return {
    corrected: [],
    partNumber: PART_NUMBER,
    stage: 'sintered',
    builds: { first, last, count },
    parts: count * 24,
    fallback: { index: 'Ppk', value: required, confidence },
    isAsked: false,
    rows,
    ...capabilityWords(rows, { first, last, parts: count * 24 }),
  }
}

export const RECEIPT: Receipt = {
  importId: 61,
  verdict: 'taken',
  fileName: '0459.csv',
  sha256: '9f2c4f0c8ad1c9b5a6f0e3a1b7d84c2e5f60718293a4b5c6d7e8f90112233445',
  bytes: 31_204,
  kind: 'measurements',
  dialect: 'UTF-8, comma, decimal point',
  columns: [
    { heading: 'serial', meaning: 'serial number' },
    { heading: 'value', meaning: 'measured value' },
    { heading: 'operator_note', meaning: null },
  ],
  rowsRead: 288,
  rowsTaken: 288,
  rowsRefused: 0,
  refused: [],
  notes: [{ text: 'Build 0459 was not known and was created; it has no printer or powder lot yet.' }],
  problem: null,
  remedies: [],
  partNumbers: [{ number: 'HB-204', revision: 'C' }],
  outOfSpecification: 2,
  who: 'Ines Quark',
  at: Date.UTC(2026, 10, 24, 13, 5) / 1000,
  earlierImportId: null,
}

export const REFUSED_RECEIPT: Receipt = {
  ...RECEIPT,
  importId: null,
  verdict: 'refused',
  fileName: '0460.csv',
  rowsRead: 288,
  rowsTaken: 0,
  rowsRefused: 3,
  refused: [
    {
      line: 17,
      column: 'value',
      value: '12,4O1',
      reason: '“12,4O1” is not a number: it has the letter O in it. Correct the value in the file.',
    },
    {
      line: 40,
      column: 'value',
      value: '0.4882',
      reason:
        '0.4882 lies far from the nominal 12.4 mm and would fit in inches. Say whether the file is in inches.',
    },
    {
      line: 101,
      column: null,
      value: 'HB-0460-09;12.402',
      reason:
        'The row has 2 columns where the heading has 17. Save the file again with one kind of separator.',
    },
  ],
  notes: [],
  remedies: ['take-good-rows', 'convert-units', 'name-part-number'],
  outOfSpecification: 0,
}

export function progressFixture(patch: Partial<ImportProgress> = {}): ImportProgress {
  return {
    job: 'job-1',
    fileName: '0459.csv',
    state: 'reading',
    bytesRead: 12_000,
    bytesTotal: 31_204,
    rowsRead: 110,
    receipt: null,
    ...patch,
  }
}
