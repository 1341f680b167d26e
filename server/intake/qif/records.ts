import { own } from '../row-checker.ts'
import type { AttributeOf, XmlListener } from './xml-walk.ts'

/** The text of an element without children. */
export interface Leaf {
  readonly text: string
  /** Line on which its start tag ends. */
  readonly line: number
  /** Name of the unit that it carries itself; null where the file's units hold. */
  readonly unit: string | null
}

/** An element that stands for one thing, with those of its leaves that were asked for. */
export interface Gathered {
  readonly kind: RecordKind
  /** Name of the element. */
  readonly element: string
  /** The names of the elements that it stands in, from the document down, and its own. */
  readonly path: string
  readonly id: string
  /** By path below the element, as in "Tolerance/MaxValue". */
  readonly leaves: ReadonlyMap<string, readonly Leaf[]>
  /** Attributes that whoever wrote the file added, by their name. */
  readonly attributes: ReadonlyMap<string, string>
}

export type RecordKind =
  | 'linear-unit'
  | 'angular-unit'
  | 'device'
  | 'part'
  | 'component'
  | 'assembly-path'
  | 'definition'
  | 'nominal'
  | 'item'
  | 'measurement'
  | 'results'
  | 'all-results'
  | 'actual-component'

const INSPECTION = [
  'InspectionTraceability/InspectionStart',
  'InspectionTraceability/InspectionEnd',
  'InspectionTraceability/InspectionOperator/Name',
  'InspectionTraceability/InspectionOperator/EmployeeId',
]

/** Leaves worth keeping of each kind; everything else is let go as it passes. */
const WANTED: Readonly<Record<RecordKind, ReadonlySet<string>>> = {
  'linear-unit': new Set(['SIUnitName', 'UnitName', 'UnitConversion/Factor']),
  'angular-unit': new Set(['SIUnitName', 'UnitName', 'UnitConversion/Factor']),
  device: new Set(['Name']),
  part: new Set([
    'ModelNumber',
    'Version',
    'Name',
    'DefinitionExternal/PrintedDrawing/DrawingNumber',
    'DefinitionExternal/PrintedDrawing/Version',
  ]),
  component: new Set(['Part/Id']),
  'assembly-path': new Set(['ComponentIds/Id']),
  definition: new Set([
    'Tolerance',
    'Tolerance/MaxValue',
    'Tolerance/MinValue',
    'Tolerance/DefinedAsLimit',
    'ToleranceValue',
    'OuterDisposition',
    'NonTolerance',
    'MaterialCondition',
  ]),
  nominal: new Set(['CharacteristicDefinitionId', 'TargetValue']),
  item: new Set([
    'Name',
    'CharacteristicDesignator/Designator',
    'MeasurementDeviceIds/Id',
    'CharacteristicNominalId',
  ]),
  measurement: new Set([
    'CharacteristicItemId',
    'Value',
    'MeasurementDeviceIds/Id',
    'ActualComponentId',
    'ActualComponentIds/Id',
  ]),
  results: new Set(['ActualComponentIds/Id', ...INSPECTION]),
  'all-results': new Set(INSPECTION),
  'actual-component': new Set(['SerialNumber', 'AsmPathId']),
}

/** The kind of record that an element is; null where it is none. The parent tells apart what shares a name. */
function kindOf(name: string, parent: string): RecordKind | null {
  if (name.endsWith('CharacteristicMeasurement')) return 'measurement'
  if (name.endsWith('CharacteristicDefinition')) return 'definition'
  if (name.endsWith('CharacteristicNominal')) return 'nominal'
  if (name.endsWith('CharacteristicItem')) return 'item'
  if (parent === 'MeasurementDevices') return 'device'
  switch (name) {
    case 'LinearUnit':
      return 'linear-unit'
    case 'AngularUnit':
      return 'angular-unit'
    case 'Part':
      return parent === 'PartSet' ? 'part' : null
    case 'Component':
      return parent === 'ComponentSet' ? 'component' : null
    case 'AsmPath':
      return parent === 'AsmPaths' ? 'assembly-path' : null
    case 'MeasurementResults':
      return 'results'
    case 'Results':
      return parent === 'QIFDocument' ? 'all-results' : null
    case 'ActualComponent':
      return 'actual-component'
    default:
      return null
  }
}

interface OpenRecord {
  readonly kind: RecordKind
  readonly element: string
  readonly path: string
  readonly id: string
  readonly depth: number
  readonly leaves: Map<string, Leaf[]>
  readonly attributes: Map<string, string>
}

/** Gathers the records of a document while it is walked, and hands each over when its element closes. */
export class RecordGatherer implements XmlListener {
  readonly #onRecord: (record: Gathered) => void
  readonly #onOpen: (kind: RecordKind | null, name: string) => void
  readonly #names: string[] = []
  readonly #open: OpenRecord[] = []
  #line = 0
  #unit: string | null = null

  /** `onOpen` is told of every element as it opens, with its kind where it is a record. */
  constructor(
    onRecord: (record: Gathered) => void,
    onOpen: (kind: RecordKind | null, name: string) => void = () => undefined,
  ) {
    this.#onRecord = onRecord
    this.#onOpen = onOpen
  }

  open(name: string, attribute: AttributeOf, line: number): void {
    const parent = this.#names.at(-1) ?? ''
    this.#names.push(name)
    this.#line = line
    this.#unit = attribute('linearUnit') ?? attribute('angularUnit') ?? null
    const kind = kindOf(name, parent)
    this.#onOpen(kind, name)
    if (kind !== null) {
      this.#open.push({
        kind,
        element: name,
        path: this.#names.join('/'),
        id: own(attribute('id') ?? ''),
        depth: this.#names.length,
        leaves: new Map(),
        attributes: new Map(),
      })
      return
    }
    const record = this.#open.at(-1)
    if (record === undefined || parent !== 'Attributes' || this.#names.length !== record.depth + 2) return
    const [label, value] = [attribute('name'), attribute('value')]
    if (label !== undefined && value !== undefined) record.attributes.set(own(label), own(value))
  }

  close(_name: string, text: string): void {
    const record = this.#open.at(-1)
    if (record !== undefined && this.#names.length === record.depth) {
      this.#open.pop()
      this.#names.pop()
      this.#onRecord(record)
      return
    }
    if (record !== undefined) {
      const path =
        this.#names.length === record.depth + 1
          ? (this.#names[record.depth] as string)
          : this.#names.slice(record.depth).join('/')
      if (WANTED[record.kind].has(path)) {
        // Measurements are let go of at once; everything else outlives the chunk that it was cut out of.
        const kept = record.kind === 'measurement' ? text : own(text)
        const leaf = { text: kept, line: this.#line, unit: this.#unit }
        const known = record.leaves.get(path)
        if (known === undefined) record.leaves.set(path, [leaf])
        else known.push(leaf)
      }
    }
    this.#names.pop()
  }
}

/** The first leaf at the path; null where there is none or it is empty. */
export function leafOf(record: Gathered | undefined, path: string): Leaf | null {
  const leaf = record?.leaves.get(path)?.[0]
  return leaf === undefined || leaf.text === '' ? null : leaf
}

/** The first text at the path; empty where there is none. */
export function textOf(record: Gathered | undefined, path: string): string {
  return record?.leaves.get(path)?.[0]?.text ?? ''
}

export function textsOf(record: Gathered | undefined, path: string): string[] {
  return (record?.leaves.get(path) ?? []).map((leaf) => leaf.text)
}
