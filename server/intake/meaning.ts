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
  | 'ownUpper'
  | 'ownLower'
  | 'bonus'
  | 'ownLimits'
  | 'unit'
  | 'value'
  | 'deviation'
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
  | 'studyPlan'
  | 'studyPart'
  | 'trial'
  | 'reference'
  | 'gaugeKind'
  | 'resolution'
  | 'uncertainty'
  | 'coverageFactor'
  | 'certificate'
  | 'calibratedOn'
  | 'due'

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
  ownUpper: 'upper limit of the part’s own',
  ownLower: 'lower limit of the part’s own',
  bonus: 'bonus tolerance of the part',
  ownLimits: 'whether each part has limits of its own',
  unit: 'unit',
  value: 'measured value',
  deviation: 'deviation from nominal',
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
  studyPlan: 'plan of the gauge study',
  studyPart: 'part measured in the study',
  trial: 'trial',
  reference: 'known value of the part',
  gaugeKind: 'kind of gauge',
  resolution: 'resolution',
  uncertainty: 'expanded uncertainty of its calibration',
  coverageFactor: 'coverage factor',
  certificate: 'number of the certificate',
  calibratedOn: 'day of calibration',
  due: 'day by which it is due',
}

/** What says a size asked for, by the drawing or for one part alone, as a size or as the distance from one. */
export const LIMIT_MEANINGS = [
  'nominal',
  'lower',
  'upper',
  'tolerance',
  'plusTolerance',
  'minusTolerance',
  'ownUpper',
  'ownLower',
  'bonus',
] as const satisfies readonly Meaning[]

/** Where a part lay in the bed. */
export const BED_MEANINGS = ['bedX', 'bedY', 'bedZ'] as const satisfies readonly Meaning[]
