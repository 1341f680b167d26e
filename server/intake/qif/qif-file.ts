import { bytesOf, Decoder, type Encoding } from '../decode.ts'
import type { Dialect } from '../dialect.ts'
import type { Meaning } from '../meaning.ts'
import { Notes } from '../notes.ts'
import type { Rows } from '../rows.ts'
import { type Gathered, leafOf, RecordGatherer, textsOf } from './records.ts'
import { type Requirement, requirementIn } from './requirements.ts'
import { type QifComponent, type QifContents, type QifInspection, Survey } from './survey.ts'
import { XmlWalk } from './xml-walk.ts'

/** Results of the Quality Information Framework (ISO 23952), read as rows of the measurement table. */
export interface QifFile {
  /** The columns of its rows, each headed by the element that its fields come from. */
  readonly dialect: Dialect
  /** For the receipt, as in "QIF 3.0.0, UTF-8". */
  readonly inWords: string
  /** One row for each measured characteristic with a value, on the line of that value. */
  rows(): AsyncGenerator<QifRows>
  /** What was passed over and how things were read; complete once the rows have been. */
  notes(): string[]
}

/** Rows with the way to the element of each value, from the document down. */
export interface QifRows extends Rows {
  readonly elements: readonly string[]
}

/** Where the fields come from. Attributes add columns behind these. */
const COLUMNS: readonly (readonly [Meaning, string])[] = [
  ['partNumber', 'Part/ModelNumber'],
  ['revision', 'Part/Version'],
  ['partName', 'Part/Name'],
  ['serial', 'ActualComponent/SerialNumber'],
  ['characteristic', 'CharacteristicItem/Designator'],
  ['characteristicName', 'CharacteristicItem/Name'],
  ['kind', 'type of characteristic'],
  ['nominal', 'CharacteristicNominal/TargetValue'],
  ['lower', 'Tolerance/MinValue as limit'],
  ['upper', 'Tolerance/MaxValue as limit, or ToleranceValue'],
  ['minusTolerance', 'Tolerance/MinValue as deviation'],
  ['plusTolerance', 'Tolerance/MaxValue as deviation'],
  ['unit', 'FileUnits'],
  ['value', 'CharacteristicMeasurement/Value'],
  ['replicate', 'inspection of the same part'],
  ['measuredAt', 'InspectionTraceability/InspectionEnd'],
  ['gauge', 'MeasurementDevice/Name'],
  ['inspector', 'InspectionOperator/Name'],
]

const NOBODY: QifComponent = {
  serial: '',
  product: { number: '', revision: '', name: '' },
  attributes: new Map(),
}
const NO_INSPECTION: QifInspection = {
  componentIds: [],
  at: '',
  inspector: '',
  replicate: 1,
  attributes: new Map(),
}

/**
 * The file as a QIF document; null where its text does not begin as XML. The file is walked twice: what values
 * refer to may stand behind them, and holding the values meanwhile would take as much memory as there are.
 *
 * @param onBytes called with the bytes whose values have been read, which may throw to stop
 * @throws FileProblemError where it is XML, but no results in QIF 2.1 or 3.0
 */
export async function openQif(
  path: string,
  encoding: Encoding,
  onBytes: (bytes: number) => void,
): Promise<QifFile | null> {
  if (!(await beginsAsXml(path, encoding))) return null
  const survey = new Survey()
  const walk = new XmlWalk(survey)
  for await (const text of textOfFile(path, encoding, () => onBytes(0))) walk.push(text)
  walk.end()
  const remarks = new Notes()
  const contents = survey.end((note, label) => remarks.gather(note, label))
  const extra = [...contents.attributeNames]
  const headings = [...COLUMNS.map(([, heading]) => heading), ...extra.map(([, name]) => `attribute ${name}`)]
  const meanings = [...COLUMNS.map(([meaning]) => meaning), ...extra.map(([meaning]) => meaning)]
  const reader = new ValueReader(contents, remarks)
  return {
    dialect: {
      delimiter: '\t',
      columns: { kind: 'measurements', headings, meanings, headingUnit: null, repeated: [] },
      recordsAbove: 0,
      decimalMark: '.',
      dateOrder: null,
    },
    inWords: `QIF ${contents.version}, ${encoding}`,
    async *rows() {
      const second = new XmlWalk(reader.gatherer)
      for await (const text of textOfFile(path, encoding, onBytes)) {
        second.push(text)
        yield reader.take()
      }
    },
    notes: () => [...contentNotes(contents), ...remarks.all().map((note) => note.text)],
  }
}

/** Second walk through a document: makes rows of measurements as they pass. */
class ValueReader {
  readonly gatherer: RecordGatherer
  readonly #contents: QifContents
  readonly #remarks: Notes
  readonly #extra: readonly Meaning[]
  #inspection = -1
  #rows: string[][] = []
  #lines: number[] = []
  #elements: string[] = []

  constructor(contents: QifContents, remarks: Notes) {
    this.#contents = contents
    this.#remarks = remarks
    this.#extra = [...contents.attributeNames.keys()]
    this.gatherer = new RecordGatherer(
      (record) => {
        if (record.kind === 'measurement') this.#read(record)
      },
      (kind) => {
        if (kind === 'results') this.#inspection++
      },
    )
  }

  /** The rows made since the last call. */
  take(): QifRows {
    const taken = { rows: this.#rows, lines: Int32Array.from(this.#lines), elements: this.#elements }
    this.#rows = []
    this.#lines = []
    this.#elements = []
    return taken
  }

  #read(measurement: Gathered): void {
    const { requirements, devices, inspections, product, units } = this.#contents
    const value = leafOf(measurement, 'Value')
    const itemId = textsOf(measurement, 'CharacteristicItemId')[0] ?? ''
    const known = requirements.get(itemId)
    if (known !== undefined && 'note' in known) {
      this.#remarks.gather(known.note, known.label)
      return
    }
    if (value === null) {
      this.#remarks.gather(
        'Measurements without a value, as of what could not be measured, passed over: ….',
        known?.designator ?? measurement.element,
      )
      return
    }
    const unit = value.unit === null ? null : units.named(value.unit)
    const requirement = known === undefined || unit === null ? known : requirementIn(unit, known)
    const inspection = inspections[this.#inspection] ?? NO_INSPECTION
    const component = this.#component(measurement, inspection)
    // The same drawing holds for a part that the file does not connect to it, where it has one drawing only.
    const { number, revision, name } = component?.product ?? product
    const deviceIds = textsOf(measurement, 'MeasurementDeviceIds/Id')
    const gauge = (deviceIds.length > 0 ? deviceIds : (known?.deviceIds ?? []))
      .map((id) => devices.get(id) ?? '')
      .filter((device) => device !== '')
      .join(' + ')
    const row = [
      number,
      revision,
      name,
      component?.serial ?? '',
      ...definingFields(requirement),
      unit ?? requirement?.unit ?? '',
      value.text,
      String(inspection.replicate),
      inspection.at,
      gauge,
      inspection.inspector,
    ]
    for (const meaning of this.#extra) {
      row.push(component?.attributes.get(meaning) ?? inspection.attributes.get(meaning) ?? '')
    }
    this.#rows.push(row)
    this.#lines.push(value.line)
    const { path, id } = measurement
    this.#elements.push(`${path}${id === '' ? '' : `[@id="${id}"]`}/Value`)
  }

  /** The part measured; null where the file leaves open which it was, so that the row is refused. */
  #component(measurement: Gathered, inspection: QifInspection): QifComponent | null {
    const { components } = this.#contents
    const own = textsOf(measurement, 'ActualComponentId')
    const several = own.length > 0 ? own : textsOf(measurement, 'ActualComponentIds/Id')
    const ids = several.length > 0 ? several : inspection.componentIds
    if (ids.length === 1) return components.get(ids[0] as string) ?? NOBODY
    if (ids.length > 1) {
      this.#remarks.gather(
        'Results that speak of several parts at once do not say which value is whose: parts ….',
        ids.map((id) => components.get(id)?.serial || id).join(', '),
      )
      return null
    }
    // Results that name no part can only be of the one that there is.
    return components.size === 1 ? ([...components.values()][0] as QifComponent) : null
  }
}

/** Kind, nominal and limits of a row, behind its designator and name; empty where the file does not say. */
function definingFields(requirement: Requirement | undefined): string[] {
  if (requirement === undefined) return Array(8).fill('')
  const { designator, name, type, nominal, lower, upper, minusTolerance, plusTolerance } = requirement
  return [designator, name, type.kind, nominal, lower, upper, minusTolerance, plusTolerance]
}

function contentNotes({ measuredFeatures, inspections }: QifContents): string[] {
  const notes: string[] = []
  if (measuredFeatures > 0) {
    notes.push(
      `${measuredFeatures} measured ${measuredFeatures === 1 ? 'feature' : 'features'} (places and directions of surfaces) passed over: values of characteristics are taken.`,
    )
  }
  if (inspections.every(({ at }) => at === '')) {
    notes.push('The file does not say when the parts were measured.')
  }
  return notes
}

async function* textOfFile(
  path: string,
  encoding: Encoding,
  onBytes: (bytes: number) => void,
): AsyncGenerator<string> {
  const decoder = new Decoder(encoding)
  let read = 0
  for await (const bytes of bytesOf(path)) {
    read += bytes.length
    onBytes(read)
    yield decoder.push(bytes)
  }
  yield decoder.end()
}

/** A table may begin with anything else, but hardly with the sign that XML has to begin with. */
async function beginsAsXml(path: string, encoding: Encoding): Promise<boolean> {
  for await (const text of textOfFile(path, encoding, () => undefined)) {
    const begun = text.trimStart()
    if (begun !== '') return begun.startsWith('<')
  }
  return false
}
