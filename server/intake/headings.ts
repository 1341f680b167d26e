import type { Unit } from '../../src/domain/characteristic.ts'
import type { FileKind } from '../contract/receipt.ts'
import { readUnit } from './units.ts'

/** What a column may hold. */
export type Meaning =
  | 'partNumber'
  | 'revision'
  | 'partName'
  | 'serial'
  | 'build'
  | 'furnaceLoad'
  | 'tray'
  | 'trayPlace'
  | 'bedX'
  | 'bedY'
  | 'bedZ'
  | 'characteristic'
  | 'characteristicName'
  | 'kind'
  | 'axis'
  | 'nominal'
  | 'lower'
  | 'upper'
  | 'tolerance'
  | 'plusTolerance'
  | 'minusTolerance'
  | 'unit'
  | 'value'
  | 'replicate'
  | 'stage'
  | 'measuredAt'
  | 'timeOfDay'
  | 'gauge'
  | 'inspector'
  | 'printedAt'
  | 'printer'
  | 'buildBox'
  | 'powderLot'
  | 'powderReuse'
  | 'scaleX'
  | 'scaleY'
  | 'scaleZ'
  | 'sinteredAt'
  | 'furnace'
  | 'profile'
  | 'atmosphere'

/** The meaning as the receipt says it. */
export const MEANING_IN_WORDS: Readonly<Record<Meaning, string>> = {
  partNumber: 'part number',
  revision: 'revision',
  partName: 'name of the part',
  serial: 'serial number',
  build: 'build',
  furnaceLoad: 'furnace load',
  tray: 'tray',
  trayPlace: 'place on the tray',
  bedX: 'place in the bed, X',
  bedY: 'place in the bed, Y',
  bedZ: 'place in the bed, Z',
  characteristic: 'characteristic (designator)',
  characteristicName: 'name of the characteristic',
  kind: 'kind of characteristic',
  axis: 'axis',
  nominal: 'nominal',
  lower: 'lower specification limit',
  upper: 'upper specification limit',
  tolerance: 'tolerance, plus and minus',
  plusTolerance: 'plus tolerance',
  minusTolerance: 'minus tolerance',
  unit: 'unit',
  value: 'measured value',
  replicate: 'replicate',
  stage: 'stage',
  measuredAt: 'time of measurement',
  timeOfDay: 'time of day of the measurement',
  gauge: 'gauge',
  inspector: 'inspector',
  printedAt: 'time of printing',
  printer: 'printer',
  buildBox: 'build box',
  powderLot: 'powder lot',
  powderReuse: 'powder reuse count',
  scaleX: 'scale factor X',
  scaleY: 'scale factor Y',
  scaleZ: 'scale factor Z',
  sinteredAt: 'time of sintering',
  furnace: 'furnace',
  profile: 'furnace profile',
  atmosphere: 'atmosphere',
}

/** Meaning → headings, as `plainHeading` leaves them. A heading after "|" is taken only where no other is there. */
type Vocabulary = readonly (readonly [Meaning, string])[]

const DRAWING: Vocabulary = [
  [
    'partNumber',
    'partnumber partno partnr pn drawing drawingnumber drawingno article articlenumber item itemnumber | part',
  ],
  ['revision', 'revision rev drawingrevision partrevision index'],
  ['partName', 'partname partdescription'],
]

const REQUIREMENT: Vocabulary = [
  ['kind', 'kind characteristickind characteristictype featuretype type'],
  ['axis', 'axis buildaxis direction'],
  ['nominal', 'nominal nom nominalvalue nominalsize basicdimension target'],
  ['lower', 'lower lsl lowerlimit lowerspec lowerspeclimit lowerspecificationlimit min minimum'],
  ['upper', 'upper usl upperlimit upperspec upperspeclimit upperspecificationlimit max maximum'],
  ['tolerance', 'tolerance tol plusminus plusminustol plusminustolerance tolplusminus'],
  [
    'plusTolerance',
    'plustolerance plustol tolplus toleranceplus uppertolerance uppertol upperdeviation plus',
  ],
  [
    'minusTolerance',
    'minustolerance minustol tolminus toleranceminus lowertolerance lowertol lowerdeviation minus',
  ],
  ['unit', 'unit units uom unitofmeasure'],
]

const CHARACTERISTIC: Vocabulary = [
  [
    'characteristic',
    'characteristic designator balloon balloonnumber balloonno balloonid characteristicid characteristicno ' +
      'characteristicnumber charno featureid featureno featurenumber | feature dimension dim dimensionno',
  ],
  [
    'characteristicName',
    'characteristicname featurename dimensionname name label | feature dimension description',
  ],
]

const BUILD = 'build buildid buildname buildno buildnumber job jobid jobname jobno jobnumber printjob print'
const LOAD =
  'furnaceload furnaceloadid load loadid loadno loadnumber furnacerun furnacecharge charge sinterload sinterrun sinteringrun'

const VOCABULARIES: Readonly<Record<FileKind, Vocabulary>> = {
  measurements: [
    ...DRAWING,
    [
      'serial',
      'serial serialno serialnumber sn partserial partserialno partserialnumber partsn partid pieceid | part piece',
    ],
    ['build', BUILD],
    ['furnaceLoad', LOAD],
    ['tray', 'tray trayid trayno setter shelf'],
    ['trayPlace', 'trayplace trayposition traypos traylocation place'],
    ['bedX', 'bedx x xposition positionx posx'],
    ['bedY', 'bedy y yposition positiony posy'],
    ['bedZ', 'bedz z zposition positionz posz'],
    ...CHARACTERISTIC,
    ...REQUIREMENT,
    ['value', 'value actual actualvalue measured measuredvalue measurement result reading meas observed'],
    ['replicate', 'replicate replicateno repeat repetition trial'],
    ['stage', 'stage state processstage measuredstate'],
    [
      'measuredAt',
      'measuredat measuredon date datetime timestamp measurementdate dateofmeasurement inspectiondate inspectedat | time measuredtime measurementtime',
    ],
    ['timeOfDay', '| time timeofday measuredtime measurementtime'],
    [
      'gauge',
      'gauge gaugeid gage gageid instrument device measuringdevice measuredwith equipment cmm machine',
    ],
    ['inspector', 'inspector inspectedby measuredby operator appraiser'],
  ],
  characteristics: [...DRAWING, ...CHARACTERISTIC, ...REQUIREMENT],
  builds: [
    ['build', `${BUILD} | name id`],
    [
      'printedAt',
      'printedat printedon printed printdate builddate buildstart started startedat start date datetime',
    ],
    ['printer', 'printer printerid machine'],
    ['buildBox', 'buildbox box jobbox'],
    ['powderLot', 'powderlot powderbatch lot batch powder'],
    ['powderReuse', 'powderreuse powderreusecount reuse reusecount timesreclaimed reclaimed'],
    ['scaleX', 'scalex xscale scalefactorx xscalefactor'],
    ['scaleY', 'scaley yscale scalefactory yscalefactor'],
    ['scaleZ', 'scalez zscale scalefactorz zscalefactor'],
  ],
  'furnace-loads': [
    ['furnaceLoad', `${LOAD} | name id`],
    [
      'sinteredAt',
      'sinteredat sinteredon sintered sinterdate sinteringdate started startedat start date datetime',
    ],
    ['furnace', 'furnace furnaceid oven'],
    ['profile', 'profile furnaceprofile sinterprofile program cycle recipe'],
    ['atmosphere', 'atmosphere gas'],
  ],
}

/** The columns of a file, once its kind is known. */
export interface Columns {
  readonly kind: FileKind
  readonly headings: readonly string[]
  /** Meaning of each column; null where the heading is not known. */
  readonly meanings: readonly (Meaning | null)[]
  /** Unit that the headings of values and limits name, as in "value (mm)"; null where they name none. */
  readonly headingUnit: Unit | null
  /** Headings that mean the same as an earlier one, which leaves open which column counts. */
  readonly repeated: readonly string[]
}

/**
 * A heading without what people write differently: case, spaces, underscores, dots, brackets with a unit.
 * Signs are spelled out, since "tol +" and "tol -" differ by nothing else.
 */
export function plainHeading(heading: string): string {
  return heading
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[([][^)\]]*[)\]]\s*$/, '')
    .replace(/±|\+\s*\/\s*[-−]/g, 'plusminus')
    .replace(/\+/g, 'plus')
    .replace(/^\s*[-−]|[-−]\s*$/g, 'minus')
    .replace(/[^\p{Letter}\p{Number}]/gu, '')
}

/** Columns of a file of this kind with these headings. */
export function readColumns(kind: FileKind, headings: readonly string[]): Columns {
  const plain = headings.map(plainHeading)
  const meanings: (Meaning | null)[] = headings.map(() => null)
  const taken = new Set<Meaning>()
  const repeated: string[] = []
  for (const preferred of [true, false]) {
    for (const [meaning, words] of VOCABULARIES[kind]) {
      const [first = '', second = ''] = words.split('|')
      const known = new Set((preferred ? first : second).split(' ').filter((word) => word !== ''))
      for (let i = 0; i < headings.length; i++) {
        if (meanings[i] !== null || !known.has(plain[i] as string)) continue
        if (!taken.has(meaning)) {
          meanings[i] = meaning
          taken.add(meaning)
        } else if (preferred) {
          repeated.push(headings[i] as string)
        }
      }
    }
  }
  const units = new Set<Unit>()
  for (let i = 0; i < headings.length; i++) {
    const unit = headingUnit(headings[i] as string)
    if (unit !== null && IN_UNITS.has(meanings[i] as Meaning)) units.add(unit)
  }
  return {
    kind,
    headings,
    meanings,
    headingUnit: units.size === 1 ? ([...units][0] as Unit) : null,
    repeated,
  }
}

const IN_UNITS: ReadonlySet<Meaning> = new Set([
  'value',
  'nominal',
  'lower',
  'upper',
  'tolerance',
  'plusTolerance',
  'minusTolerance',
])

/** The unit in brackets at the end of a heading. */
function headingUnit(heading: string): Unit | null {
  const match = /[([]([^)\]]*)[)\]]\s*$/.exec(heading)
  return match === null ? null : readUnit(match[1] as string)
}

/** The kind of file that has these headings, with its columns; null where no kind fits. */
export function recogniseColumns(headings: readonly string[]): Columns | null {
  for (const kind of ['measurements', 'characteristics'] as const) {
    const columns = readColumns(kind, headings)
    if (missingMeanings(columns).length === 0) return columns
  }
  const builds = readColumns('builds', headings)
  const loads = readColumns('furnace-loads', headings)
  const fitting = [builds, loads].filter((columns) => missingMeanings(columns).length === 0)
  if (fitting.length < 2) return fitting[0] ?? null
  return known(loads) > known(builds) ? loads : builds
}

/** Number of columns with a meaning. */
export function known(columns: Columns): number {
  return columns.meanings.filter((meaning) => meaning !== null).length
}

/** What a file of this kind needs and these columns do not have, in words. */
export function missingMeanings({ kind, meanings }: Columns): string[] {
  const has = (...wanted: Meaning[]) => wanted.some((meaning) => meanings.includes(meaning))
  const missing: string[] = []
  switch (kind) {
    case 'measurements':
      if (!has('serial')) missing.push('serial number')
      if (!has('characteristic', 'characteristicName')) missing.push('characteristic')
      if (!has('value')) missing.push('value')
      break
    case 'characteristics':
      if (!has('characteristic', 'characteristicName')) missing.push('designator')
      if (!has('nominal', 'lower', 'upper')) missing.push('nominal, lower or upper limit')
      break
    case 'builds':
      if (!has('build')) missing.push('build')
      if (!hasAnyBut(meanings, 'build')) missing.push('printed at, printer, powder lot or scale factors')
      break
    case 'furnace-loads':
      if (!has('furnaceLoad')) missing.push('furnace load')
      if (!hasAnyBut(meanings, 'furnaceLoad')) missing.push('sintered at, furnace, profile or atmosphere')
      break
  }
  return missing
}

function hasAnyBut(meanings: readonly (Meaning | null)[], but: Meaning): boolean {
  return meanings.some((meaning) => meaning !== null && meaning !== but)
}
