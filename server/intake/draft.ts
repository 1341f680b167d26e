import type { Stage } from '../../src/domain/cell.ts'
import type { NumberedTable } from '../store/engine.ts'
import { CollisionError } from '../store/errors.ts'
import type {
  BuildTable,
  CharacteristicTable,
  FurnaceLoadTable,
  NameTable,
  PartNumberTable,
  PartTable,
} from '../store/schema.ts'
import type { Catalogue, Writer } from '../store/writer.ts'

/** A part number as the checks see it, with the parts of it that were looked up so far. */
export interface PartNumberEntry {
  readonly row: PartNumberTable
  /** True where this file brought it, so that it may bring characteristics without limits too. */
  readonly isNew: boolean
  readonly byDesignator: Map<string, CharacteristicEntry>
  /** Null where two characteristics share the name. */
  readonly byName: Map<string, CharacteristicEntry | null>
  /** Null where the store has no part of this serial number. */
  readonly parts: Map<string, PartEntry | null>
  /** True while the store can hold parts of it that are not in `parts`. */
  storeHasParts: boolean
}

export interface CharacteristicEntry {
  row: CharacteristicTable
  readonly isNew: boolean
  /** The fields that were last found to agree with the record, so that equal ones need no second look. */
  agreed: string
}

export interface PartEntry {
  readonly row: PartTable
  /** Name of its build, and of its furnace load; empty where that is not known. */
  buildName: string
  loadName: string
  /** Bed coordinates as last written, to know them again without reading a number. */
  bedText: string
  /** False until its row is in the store. */
  stored: boolean
  /** True where measurements stored without a furnace load have to follow it into its load. */
  loadLearnt: boolean
  /** Cells of its build and load at each stage, by identity of the characteristic; found when first needed. */
  cells: Partial<Record<Stage, Map<number, number>>>
}

function nothingUnsaved() {
  return {
    partNumbers: new Map<number, PartNumberTable>(),
    characteristics: new Map<number, CharacteristicTable>(),
    builds: new Map<number, BuildTable>(),
    furnaceLoads: new Map<number, FurnaceLoadTable>(),
    gauges: [] as NameTable[],
    inspectors: [] as NameTable[],
  }
}

/**
 * What is on record together with what the file at hand adds to it. Checks are plain look-ups here; what is
 * new is written by `save`. Identities are given out here, since rows of one file refer to each other.
 */
export class Draft {
  readonly #next: Record<NumberedTable, number>
  readonly #end: Readonly<Record<NumberedTable, number>>
  readonly #partNumbers = new Map<string, PartNumberEntry>()
  readonly #partNumbersById = new Map<number, PartNumberEntry>()
  readonly #characteristics: (CharacteristicEntry | undefined)[] = []
  readonly builds = new Map<string, BuildTable>()
  readonly buildNames = new Map<number, string>()
  readonly furnaceLoads = new Map<string, FurnaceLoadTable>()
  readonly #loadNames = new Map<number, string>()
  readonly #gauges = new Map<string, number>()
  readonly #inspectors = new Map<string, number>()
  /** Identity from which on builds are new in this file. */
  readonly firstNewBuild: number

  #unsaved = nothingUnsaved()

  constructor(catalogue: Catalogue) {
    this.#next = { ...catalogue.next }
    this.#end = catalogue.end
    this.firstNewBuild = catalogue.next.build
    for (const row of catalogue.partNumbers) this.#enterPartNumber(row, false)
    for (const row of catalogue.characteristics) this.#enterCharacteristic(row, false)
    for (const row of catalogue.builds) this.#enterBuild(row)
    for (const row of catalogue.furnaceLoads) this.#enterLoad(row)
    for (const row of catalogue.gauges) this.#gauges.set(row.name, row.id)
    for (const row of catalogue.inspectors) this.#inspectors.set(row.name, row.id)
  }

  /** @throws CollisionError where the identities set aside for this file have run out */
  take(table: NumberedTable): number {
    const id = this.#next[table]++
    if (id >= this.#end[table]) throw new CollisionError(`no identity of a ${table} is left`)
    return id
  }

  partNumber(number: string, revision: string): PartNumberEntry | undefined {
    return this.#partNumbers.get(`${number}\n${revision}`)
  }

  partNumberById(id: number): PartNumberEntry {
    return this.#partNumbersById.get(id) as PartNumberEntry
  }

  /** Part numbers with this number, whatever their revision; all where it is null. */
  entriesOf(number: string | null): PartNumberEntry[] {
    return [...this.#partNumbers.values()].filter((entry) => number === null || entry.row.number === number)
  }

  /** Revisions known of a part number. */
  revisionsOf(number: string): string[] {
    return [...this.#partNumbers.values()].filter((e) => e.row.number === number).map((e) => e.row.revision)
  }

  addPartNumber(number: string, revision: string, name: string | null): PartNumberEntry {
    const row = { id: this.take('part_number'), number, revision, name }
    this.#unsaved.partNumbers.set(row.id, row)
    return this.#enterPartNumber(row, true)
  }

  savePartNumber(row: PartNumberTable): void {
    this.#unsaved.partNumbers.set(row.id, row)
  }

  characteristicById(id: number): CharacteristicEntry {
    return this.#characteristics[id] as CharacteristicEntry
  }

  addCharacteristic(row: Omit<CharacteristicTable, 'id'>): CharacteristicEntry {
    const added = { id: this.take('characteristic'), ...row }
    this.#unsaved.characteristics.set(added.id, added)
    return this.#enterCharacteristic(added, true)
  }

  /** Put other fields in the place of a characteristic's. */
  changeCharacteristic(entry: CharacteristicEntry, changes: Partial<Omit<CharacteristicTable, 'id'>>): void {
    entry.row = { ...entry.row, ...changes }
    entry.agreed = ''
    this.#unsaved.characteristics.set(entry.row.id, entry.row)
  }

  addBuild(row: Omit<BuildTable, 'id'>): BuildTable {
    const added = { id: this.take('build'), ...row }
    this.saveBuild(added)
    return added
  }

  saveBuild(row: BuildTable): void {
    this.#unsaved.builds.set(row.id, row)
    this.#enterBuild(row)
  }

  addFurnaceLoad(row: Omit<FurnaceLoadTable, 'id'>): FurnaceLoadTable {
    const added = { id: this.take('furnace_load'), ...row }
    this.saveFurnaceLoad(added)
    return added
  }

  saveFurnaceLoad(row: FurnaceLoadTable): void {
    this.#unsaved.furnaceLoads.set(row.id, row)
    this.#enterLoad(row)
  }

  knowsGauge(name: string): boolean {
    return this.#gauges.has(name)
  }

  gauge(name: string): number {
    return this.#named('gauge', name, this.#gauges, this.#unsaved.gauges)
  }

  inspector(name: string): number {
    return this.#named('inspector', name, this.#inspectors, this.#unsaved.inspectors)
  }

  /** A part as the store has it. */
  enterPart(partNumber: PartNumberEntry, row: PartTable): void {
    partNumber.parts.set(row.serial, {
      row,
      buildName: this.buildNames.get(row.build_id) as string,
      loadName: row.furnace_load_id === null ? '' : (this.#loadNames.get(row.furnace_load_id) as string),
      bedText: '',
      stored: true,
      loadLearnt: false,
      cells: {},
    })
  }

  /** Number of parts held in memory. */
  get partsHeld(): number {
    let held = 0
    for (const { parts } of this.#partNumbers.values()) held += parts.size
    return held
  }

  /** Let go of the parts held, all of which must be saved; they are looked up again when they are met again. */
  forgetParts(): void {
    for (const entry of this.#partNumbers.values()) {
      if (entry.parts.size > 0) entry.storeHasParts = true
      entry.parts.clear()
    }
  }

  /** Write what is new or changed, except parts. */
  async save(writer: Writer): Promise<void> {
    for (const put of this.unsaved()) await put(writer)
  }

  /** What `save` does, as steps in order; what they write is not unsaved any more. */
  unsaved(): ((writer: Writer) => Promise<void>)[] {
    const { partNumbers, characteristics, builds, furnaceLoads, gauges, inspectors } = this.#unsaved
    this.#unsaved = nothingUnsaved()
    const steps: ((writer: Writer) => Promise<void>)[] = []
    if (partNumbers.size > 0) steps.push((w) => w.put('part_number', [...partNumbers.values()]))
    if (characteristics.size > 0) steps.push((w) => w.put('characteristic', [...characteristics.values()]))
    if (builds.size > 0) steps.push((w) => w.put('build', [...builds.values()]))
    if (furnaceLoads.size > 0) steps.push((w) => w.put('furnace_load', [...furnaceLoads.values()]))
    if (gauges.length > 0) steps.push((w) => w.put('gauge', gauges))
    if (inspectors.length > 0) steps.push((w) => w.put('inspector', inspectors))
    return steps
  }

  #enterPartNumber(row: PartNumberTable, isNew: boolean): PartNumberEntry {
    const entry: PartNumberEntry = {
      row,
      isNew,
      byDesignator: new Map(),
      byName: new Map(),
      parts: new Map(),
      storeHasParts: !isNew,
    }
    this.#partNumbers.set(`${row.number}\n${row.revision}`, entry)
    this.#partNumbersById.set(row.id, entry)
    return entry
  }

  #enterCharacteristic(row: CharacteristicTable, isNew: boolean): CharacteristicEntry {
    const entry: CharacteristicEntry = { row, isNew, agreed: '' }
    const partNumber = this.partNumberById(row.part_number_id)
    partNumber.byDesignator.set(row.designator, entry)
    partNumber.byName.set(row.name, partNumber.byName.has(row.name) ? null : entry)
    this.#characteristics[row.id] = entry
    return entry
  }

  #enterBuild(row: BuildTable): void {
    this.builds.set(row.name, row)
    this.buildNames.set(row.id, row.name)
  }

  #enterLoad(row: FurnaceLoadTable): void {
    this.furnaceLoads.set(row.name, row)
    this.#loadNames.set(row.id, row.name)
  }

  #named(
    table: 'gauge' | 'inspector',
    name: string,
    known: Map<string, number>,
    unsaved: NameTable[],
  ): number {
    let id = known.get(name)
    if (id === undefined) {
      id = this.take(table)
      known.set(name, id)
      unsaved.push({ id, name })
    }
    return id
  }
}
