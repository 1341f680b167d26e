import type { FileKind } from '../contract/receipt.ts'

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
    'partnumber partno partnr pn drawing drawingnumber drawingno article articlenumber articleno | part',
  ],
  ['revision', 'revision rev drawingrevision partrevision'],
  ['partName', 'partname partdescription'],
]

const REQUIREMENT: Vocabulary = [
  ['kind', 'kind characteristickind characteristictype featuretype'],
  ['axis', 'axis buildaxis direction'],
  ['nominal', 'nominal nom nominalvalue nominalsize basicdimension target'],
  ['lower', 'lower lsl lowerlimit lowerspec lowerspeclimit lowerspecificationlimit'],
  ['upper', 'upper usl upperlimit upperspec upperspeclimit upperspecificationlimit'],
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
  ['characteristicName', 'characteristicname featurename dimensionname name | feature dimension description'],
]

const BUILD = 'build buildid buildname buildno buildnumber job jobid jobname jobno jobnumber printjob'
const LOAD =
  'furnaceload furnaceloadid load loadid loadno loadnumber furnacerun furnacecharge charge sinterload sinterrun sinteringrun'

export const VOCABULARIES: Readonly<Record<FileKind, Vocabulary>> = {
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
    ['bedX', 'bedx xbed bedpositionx xinbed'],
    ['bedY', 'bedy ybed bedpositiony yinbed'],
    ['bedZ', 'bedz zbed bedpositionz zinbed'],
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
    ['gauge', 'gauge gaugeid gage gageid instrument measuringinstrument measuringdevice measuredwith cmm'],
    ['inspector', 'inspector inspectedby measuredby operator appraiser'],
  ],
  characteristics: [...DRAWING, ...CHARACTERISTIC, ...REQUIREMENT],
  builds: [
    ['build', BUILD],
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
    ['furnaceLoad', LOAD],
    [
      'sinteredAt',
      'sinteredat sinteredon sintered sinterdate sinteringdate started startedat start date datetime',
    ],
    ['furnace', 'furnace furnaceid oven'],
    ['profile', 'profile furnaceprofile sinterprofile program cycle recipe'],
    ['atmosphere', 'atmosphere gas'],
  ],
}
