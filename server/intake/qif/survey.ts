import { FileProblemError, shortened } from '../faults.ts'
import { readColumns } from '../headings.ts'
import type { Meaning } from '../meaning.ts'
import { type FileUnits, fileUnits } from './qif-units.ts'
import { type Gathered, RecordGatherer, type RecordKind, textOf, textsOf } from './records.ts'
import { type NotTaken, type Requirement, readRequirements } from './requirements.ts'
import type { AttributeOf, XmlListener } from './xml-walk.ts'

/** What the part was made to; empty texts where the file does not say. */
export interface QifProduct {
  readonly number: string
  readonly revision: string
  readonly name: string
}

/** One inspection: the parts that it speaks of, when it ended, who did it, which it is of its first part. */
export interface QifInspection {
  readonly componentIds: readonly string[]
  readonly at: string
  readonly inspector: string
  readonly replicate: number
  readonly attributes: ReadonlyMap<Meaning, string>
}

export interface QifComponent {
  readonly serial: string
  readonly product: QifProduct
  readonly attributes: ReadonlyMap<Meaning, string>
}

/** Everything of a document but its values. Its size grows with characteristics and parts, not with values. */
export interface QifContents {
  /** As the document gives it, for example "3.0.0". */
  readonly version: string
  readonly units: FileUnits
  /** By identity of the characteristic's item. */
  readonly requirements: ReadonlyMap<string, Requirement | NotTaken>
  /** Names of measuring devices by identity. */
  readonly devices: ReadonlyMap<string, string>
  readonly components: ReadonlyMap<string, QifComponent>
  /** In the order of the file. */
  readonly inspections: readonly QifInspection[]
  readonly product: QifProduct
  /** Meanings that attributes of the file fill in, with the name of the attribute that was first to. */
  readonly attributeNames: ReadonlyMap<Meaning, string>
  readonly measuredFeatures: number
}

/** What attributes added by the writer of a file may say, under the same names as headings of a table. */
const FROM_ATTRIBUTES: ReadonlySet<Meaning> = new Set<Meaning>([
  'build',
  'furnaceLoad',
  'tray',
  'trayPlace',
  'bedX',
  'bedY',
  'bedZ',
  'stage',
])

const NAMESPACE = /^http:\/\/qifstandards\.org\/xsd\/qif[23]$/
const VERSIONS = /^(2\.1|3\.0)(\.|$)/
const UNKNOWN: QifProduct = { number: '', revision: '', name: '' }

/** First walk through a document, in which everything is gathered that rows refer to. */
export class Survey implements XmlListener {
  readonly #gatherer: RecordGatherer
  readonly #records: Record<Exclude<RecordKind, 'measurement'>, Gathered[]> = {
    'linear-unit': [],
    'angular-unit': [],
    device: [],
    part: [],
    component: [],
    'assembly-path': [],
    definition: [],
    nominal: [],
    item: [],
    results: [],
    'all-results': [],
    'actual-component': [],
  }
  readonly #attributeNames = new Map<Meaning, string>()
  #version: string | null = null
  #measurements = 0
  #measuredFeatures = 0

  constructor() {
    this.#gatherer = new RecordGatherer(
      (record) => {
        if (record.kind === 'measurement') this.#measurements++
        else this.#records[record.kind].push(record)
      },
      (_, name) => {
        if (name.endsWith('FeatureMeasurement')) this.#measuredFeatures++
      },
    )
  }

  open(name: string, attribute: AttributeOf, line: number, namespace: string): void {
    if (this.#version === null) this.#version = versionOf(name, attribute, namespace)
    this.#gatherer.open(name, attribute, line)
  }

  close(name: string, text: string): void {
    this.#gatherer.close(name, text)
  }

  /** @throws FileProblemError where the document holds no values, or contradicts itself */
  end(remark: (note: string, label: string) => void): QifContents {
    if (this.#measurements === 0) {
      throw new FileProblemError(
        'The QIF document holds no measured characteristics. It may be a plan, a model or a list of devices.',
        null,
        'Ask the measuring program for the results, and bring those.',
      )
    }
    const units = fileUnits([...this.#records['linear-unit'], ...this.#records['angular-unit']])
    const products = new Map(this.#records.part.map((part) => [part.id, productOf(part)]))
    const only = products.size === 1 ? ([...products.values()][0] as QifProduct) : UNKNOWN
    const partOfComponent = textById(this.#records.component, 'Part/Id')
    const componentOfPath = new Map(
      this.#records['assembly-path'].map((path) => [path.id, textsOf(path, 'ComponentIds/Id').at(-1) ?? '']),
    )
    const components = new Map<string, QifComponent>()
    for (const record of this.#records['actual-component']) {
      const partId = partOfComponent.get(componentOfPath.get(textOf(record, 'AsmPathId')) ?? '')
      components.set(record.id, {
        serial: textOf(record, 'SerialNumber'),
        product: products.get(partId ?? '') ?? only,
        attributes: this.#attributesOf(record),
      })
    }
    return {
      version: this.#version as string,
      units,
      requirements: readRequirements(
        {
          definitions: byId(this.#records.definition),
          nominals: byId(this.#records.nominal),
          items: byId(this.#records.item),
        },
        units,
        remark,
      ),
      devices: textById(this.#records.device, 'Name'),
      components,
      inspections: this.#inspections(),
      product: only,
      attributeNames: this.#attributeNames,
      measuredFeatures: this.#measuredFeatures,
    }
  }

  #inspections(): QifInspection[] {
    const all = this.#records['all-results'][0]
    const counts = new Map<string, number>()
    return this.#records.results.map((record) => {
      const componentIds = textsOf(record, 'ActualComponentIds/Id')
      const first = componentIds[0] ?? ''
      const replicate = first === '' ? 1 : (counts.get(first) ?? 0) + 1
      counts.set(first, replicate)
      const said = (path: string) =>
        textOf(record, `InspectionTraceability/${path}`) || textOf(all, `InspectionTraceability/${path}`)
      return {
        componentIds,
        // When the report was written is no time of measurement, and is not taken for one.
        at: said('InspectionEnd') || said('InspectionStart'),
        inspector: said('InspectionOperator/Name') || said('InspectionOperator/EmployeeId'),
        replicate,
        attributes: this.#attributesOf(record),
      }
    })
  }

  #attributesOf(record: Gathered): ReadonlyMap<Meaning, string> {
    const found = new Map<Meaning, string>()
    if (record.attributes.size === 0) return found
    const names = [...record.attributes.keys()]
    const { meanings } = readColumns('measurements', names)
    names.forEach((name, i) => {
      const meaning = meanings[i] ?? null
      if (meaning === null || !FROM_ATTRIBUTES.has(meaning)) return
      found.set(meaning, record.attributes.get(name) as string)
      if (!this.#attributeNames.has(meaning)) this.#attributeNames.set(meaning, name)
    })
    return found
  }
}

function versionOf(name: string, attribute: AttributeOf, namespace: string): string {
  if (name !== 'QIFDocument' || !NAMESPACE.test(namespace)) {
    throw new FileProblemError(
      `The file is XML, but not a QIF document: its outermost element is <${shortened(name)}>${namespace === '' ? '' : ` of ${shortened(namespace)}`}.`,
      'beginning of the file',
      'Bring results as QIF 2.1 or 3.0 (ISO 23952), or as a table saved as CSV.',
    )
  }
  const version = attribute('versionQIF') ?? (namespace.endsWith('2') ? '2.1' : '3.0')
  if (!VERSIONS.test(version)) {
    throw new FileProblemError(
      `The file is QIF ${shortened(version)}, and this program reads versions 2.1 and 3.0.`,
      'beginning of the file',
      'Ask the measuring program for QIF 3.0, and bring that.',
    )
  }
  return version
}

function productOf(part: Gathered): QifProduct {
  const drawing = 'DefinitionExternal/PrintedDrawing'
  const model = textOf(part, 'ModelNumber')
  return model !== ''
    ? { number: model, revision: textOf(part, 'Version'), name: textOf(part, 'Name') }
    : {
        number: textOf(part, `${drawing}/DrawingNumber`),
        revision: textOf(part, `${drawing}/Version`),
        name: textOf(part, 'Name'),
      }
}

function byId(records: readonly Gathered[]): Map<string, Gathered> {
  return new Map(records.map((record) => [record.id, record]))
}

function textById(records: readonly Gathered[], path: string): Map<string, string> {
  return new Map(records.map((record) => [record.id, textOf(record, path)]))
}
