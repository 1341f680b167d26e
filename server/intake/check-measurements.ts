import { STAGES, type Stage } from '../../src/domain/cell.ts'
import { KINDS_WITH_FLOOR, type Unit } from '../../src/domain/characteristic.ts'
import type { ImportChoices } from '../contract/receipt.ts'
import { naturalOrder } from '../store/natural-order.ts'
import type { PartTable } from '../store/schema.ts'
import type { Writer } from '../store/writer.ts'
import {
  type Definition,
  type DefinitionTexts,
  defines,
  differenceFrom,
  isFault,
  numberIn,
  readDefinition,
} from './definition.ts'
import type { CharacteristicEntry, Draft, PartEntry, PartNumberEntry } from './draft.ts'
import { DrawingFinder } from './drawing.ts'
import type { Fault } from './faults.ts'
import type { Meaning } from './headings.ts'
import { MeasurementWriter } from './measurement-writer.ts'
import type { Notes } from './notes.ts'
import {
  field,
  indicesOf,
  type LateFault,
  nameTooLong,
  own,
  type Readers,
  type RowChecker,
  tooLongForName,
} from './row-checker.ts'
import { convertWritten, readUnit } from './units.ts'

/** Rows checked between two looks at whether the batch is full. */
export const ROWS_AT_ONCE = 1 << 14

const STAGES_WRITTEN: Readonly<Record<string, Stage>> = {
  green: 'green',
  sintered: 'sintered',
  'as sintered': 'sintered',
  'as-sintered': 'sintered',
  finished: 'finished',
  machined: 'finished',
}

/** Designators that a refusal spells out. */
const NAMED = 40

/** What a row says of its part's place that is not on record; null fields where it says nothing new. */
interface Place {
  bed: { x: number | null; y: number | null; z: number | null; text: string } | null
  tray: string | null
  trayPlace: string | null
}

/**
 * Checks rows of measurements. Each row is read without side effects first, and only a row that is good in
 * every respect adds to the draft. What rows of one part have in common is compared as text with what was
 * last found good, so that a long file costs little more than its values.
 */
export class MeasurementChecker implements RowChecker {
  readonly #writer: Writer
  readonly #draft: Draft
  readonly #notes: Notes
  readonly #readers: Readers
  readonly #choices: ImportChoices
  readonly #out: MeasurementWriter
  readonly #drawings: DrawingFinder
  readonly #at: Readonly<Record<Meaning, number>>
  readonly #definesHere: boolean
  readonly partNumbers = new Set<number>()
  couldConvertUnits = false
  readonly #converted = new Map<string, number>()
  readonly #stages = new Map<string, number>()
  readonly #gauges = new Map<string, number>([['', 0]])
  readonly #inspectors = new Map<string, number>([['', 0]])

  constructor(
    writer: Writer,
    draft: Draft,
    notes: Notes,
    readers: Readers,
    choices: ImportChoices,
    importId: number,
  ) {
    this.#writer = writer
    this.#draft = draft
    this.#notes = notes
    this.#readers = readers
    this.#choices = choices
    this.#out = new MeasurementWriter(writer, draft, importId)
    this.#drawings = new DrawingFinder(draft, readers.columns, choices)
    this.#at = indicesOf(readers.columns)
    const at = this.#at
    this.#definesHere =
      Math.max(at.nominal, at.lower, at.upper, at.tolerance, at.plusTolerance, at.minusTolerance) >= 0
    STAGES.forEach((stage, i) => {
      this.#stages.set(stage, i)
    })
  }

  get outOfSpecification(): number {
    return this.#out.outOfSpecification
  }

  get couldNamePartNumber(): boolean {
    return this.#drawings.couldBeNamed
  }

  async prepare(rows: readonly (readonly string[])[]): Promise<void> {
    const wanted = new Map<PartNumberEntry, Set<string>>()
    let last = ''
    for (const row of rows) {
      const serial = field(row, this.#at.serial)
      if (serial === last) continue
      last = serial
      const partNumber = this.#drawings.peek(row)
      if (partNumber === null || !partNumber.storeHasParts || partNumber.parts.has(serial)) continue
      const serials = wanted.get(partNumber)
      if (serials === undefined) wanted.set(partNumber, new Set([serial]))
      else serials.add(serial)
    }
    for (const [partNumber, serials] of wanted) {
      for (const row of await this.#writer.partsBySerial(partNumber.row.id, [...serials])) {
        this.#draft.enterPart(partNumber, row)
      }
    }
  }

  check(row: readonly string[], line: number): Fault | null {
    const at = this.#at
    const serial = field(row, at.serial)
    if (serial === '')
      return { meaning: 'serial', value: '', reason: 'The row names no part. Give its serial number.' }
    const valueText = field(row, at.value)
    const value = this.#readers.numbers.read(valueText)
    if (Number.isNaN(value))
      return { meaning: 'value', value: valueText, reason: this.#readers.numbers.reason }

    const stage = this.#stage(field(row, at.stage))
    if (stage < 0) {
      return {
        meaning: 'stage',
        value: field(row, at.stage),
        reason: 'A stage is green, sintered or finished.',
      }
    }
    const replicate = readReplicate(field(row, at.replicate))
    if (replicate === 0) {
      return {
        meaning: 'replicate',
        value: field(row, at.replicate),
        reason: 'A replicate is a whole number from 1 to 9999.',
      }
    }
    const measuredAt = this.#measuredAt(row)
    if (typeof measuredAt === 'object') return measuredAt

    const drawing = this.#drawings.find(row)
    if (isFault(drawing)) return drawing
    const partNumber = drawing.entry
    const part = partNumber?.parts.get(serial) ?? null
    const buildText = field(row, at.build)
    const loadText = field(row, at.furnaceLoad)
    const lineage = checkLineage(part, serial, buildText, loadText)
    if (lineage !== null) return lineage
    const place = this.#place(part?.row ?? null, part?.bedText ?? '', row)
    if (place !== null && isFault(place)) return place

    const gaugeText = field(row, at.gauge)
    const inspectorText = field(row, at.inspector)
    if (serial.length + buildText.length + loadText.length + gaugeText.length + inspectorText.length > 200) {
      const fault = this.#tooLong(row)
      if (fault !== null) return fault
    }

    const known = partNumber === null ? null : this.#findCharacteristic(partNumber, row)
    if (known !== null && isFault(known)) return known
    const requirement = this.#requirement(known, partNumber === null || partNumber.isNew, partNumber, row)
    if (requirement !== null && isFault(requirement)) return requirement
    const unit = known?.row.unit ?? requirement?.unit ?? this.#readers.columns.headingUnit ?? 'mm'
    const measured = this.#inUnit(value, valueText, row, unit, known)
    if (typeof measured === 'object') return measured
    const kind = known?.row.kind ?? requirement?.kind ?? 'other'
    if (measured < 0 && KINDS_WITH_FLOOR.has(kind)) {
      return { meaning: 'value', value: valueText, reason: `A value of ${kind} cannot be below zero.` }
    }

    // The row is good: from here on it leaves its mark.
    const owner = partNumber ?? this.#drawings.add(drawing, this.#notes)
    this.partNumbers.add(owner.row.id)
    const characteristic = this.#settle(known, requirement, owner, row, unit)
    const measuredPart = part ?? this.#addPart(owner, serial, buildText)
    this.#fillIn(measuredPart, place, loadText)
    this.#out.add(
      measuredPart,
      characteristic.row.id,
      stage,
      replicate,
      measured,
      this.#named(gaugeText, this.#gauges, 'gauge'),
      this.#named(inspectorText, this.#inspectors, 'inspector'),
      measuredAt,
      line,
    )
    return null
  }

  async advance(): Promise<readonly LateFault[]> {
    return this.#out.hasRoomFor(ROWS_AT_ONCE) ? [] : await this.#out.flush()
  }

  async finish(): Promise<readonly LateFault[]> {
    const faults = await this.#out.finish()
    if (this.#at.stage < 0)
      this.#notes.say('The file has no column for the stage: its values were taken as sintered.')
    const moved = this.#out.partsMoved
    if (moved > 0) {
      this.#notes.say(
        `The furnace load of ${moved} ${moved === 1 ? 'part' : 'parts'} measured earlier is known now: their earlier values went with them.`,
      )
    }
    for (const [units, count] of this.#converted) {
      this.#notes.say(`${count} ${count === 1 ? 'value was' : 'values were'} converted from ${units}.`)
    }
    return faults
  }

  #stage(text: string): number {
    const known = text === '' ? 1 : this.#stages.get(text)
    if (known !== undefined) return known
    const plain = text.toLowerCase().replaceAll('_', ' ')
    if (!Object.hasOwn(STAGES_WRITTEN, plain)) return -1
    const stage = STAGES.indexOf(STAGES_WRITTEN[plain] as Stage)
    this.#stages.set(own(text), stage)
    return stage
  }

  #measuredAt(row: readonly string[]): number | Fault {
    const text = field(row, this.#at.measuredAt)
    const timeOfDay = field(row, this.#at.timeOfDay)
    if (text === '') return Number.NaN
    const time = this.#readers.times.read(timeOfDay === '' ? text : `${text} ${timeOfDay}`)
    if (!Number.isNaN(time)) return time
    return { meaning: 'measuredAt', value: text, reason: this.#readers.times.reason }
  }

  /** What the row says of the part's place that is not known yet, or a fault where it says otherwise. */
  #place(part: PartTable | null, bedText: string, row: readonly string[]): Place | Fault | null {
    const at = this.#at
    let place: Place | null = null
    for (const [meaning, column] of [
      ['tray', 'tray'],
      ['trayPlace', 'tray_place'],
    ] as const) {
      const text = field(row, at[meaning])
      const recorded = part?.[column] ?? null
      if (text === '' || text === recorded) continue
      if (recorded !== null) {
        return {
          meaning,
          value: text,
          reason: `The part is recorded with ${meaning === 'tray' ? 'tray' : 'place on the tray'} ${recorded}, not ${text}. Correct whichever is wrong.`,
        }
      }
      if (tooLongForName(text)) return nameTooLong(meaning, text)
      place ??= { bed: null, tray: null, trayPlace: null }
      place[meaning] = own(text)
    }
    if (at.bedX < 0 && at.bedY < 0 && at.bedZ < 0) return place
    const text = `${field(row, at.bedX)};${field(row, at.bedY)};${field(row, at.bedZ)}`
    if (text === bedText || text === ';;') return place
    const bed = { x: part?.bed_x ?? null, y: part?.bed_y ?? null, z: part?.bed_z ?? null, text }
    for (const [meaning, axis] of [
      ['bedX', 'x'],
      ['bedY', 'y'],
      ['bedZ', 'z'],
    ] as const) {
      const written = field(row, at[meaning])
      if (written === '') continue
      const number = this.#readers.numbers.read(written)
      if (Number.isNaN(number)) return { meaning, value: written, reason: this.#readers.numbers.reason }
      if (bed[axis] !== null && bed[axis] !== number) {
        return {
          meaning,
          value: written,
          reason: `The part is recorded at ${axis.toUpperCase()} ${bed[axis]} mm in the bed, not ${written}. Correct whichever is wrong.`,
        }
      }
      bed[axis] = number
    }
    place ??= { bed: null, tray: null, trayPlace: null }
    place.bed = bed
    return place
  }

  /** Names that are too long; looked for only where the names of a row are long together. */
  #tooLong(row: readonly string[]): Fault | null {
    for (const meaning of ['serial', 'build', 'furnaceLoad', 'gauge', 'inspector'] as const) {
      const text = field(row, this.#at[meaning])
      if (tooLongForName(text)) return nameTooLong(meaning, text)
    }
    return null
  }

  #findCharacteristic(
    partNumber: PartNumberEntry,
    row: readonly string[],
  ): CharacteristicEntry | Fault | null {
    const designator = field(row, this.#at.characteristic)
    const found = partNumber.byDesignator.get(designator)
    if (found !== undefined) return found
    const name = designator === '' ? field(row, this.#at.characteristicName) : designator
    const named = partNumber.byName.get(name)
    if (named === null) {
      return {
        meaning: 'characteristic',
        value: name,
        reason: 'More than one characteristic has this name. Give the designator instead.',
      }
    }
    return named ?? null
  }

  /**
   * What the row says of the characteristic itself: null where nothing, or nothing that is not known already.
   */
  #requirement(
    known: CharacteristicEntry | null,
    partNumberIsNew: boolean,
    partNumber: PartNumberEntry | null,
    row: readonly string[],
  ): Definition | Fault | null {
    const at = this.#at
    if (known !== null && !this.#definesHere) return null
    if (known !== null) {
      const texts = `${field(row, at.nominal)};${field(row, at.lower)};${field(row, at.upper)};${field(row, at.tolerance)};${field(row, at.plusTolerance)};${field(row, at.minusTolerance)};${field(row, at.unit)}`
      if (texts === known.agreed) return null
    }
    const name = field(row, at.characteristic) || field(row, at.characteristicName)
    if (name === '') {
      return {
        meaning: 'characteristic',
        value: '',
        reason: 'The row names no characteristic. Give its designator.',
      }
    }
    for (const meaning of ['characteristic', 'characteristicName'] as const) {
      if (tooLongForName(field(row, at[meaning]))) return nameTooLong(meaning, field(row, at[meaning]))
    }
    const definition = readDefinition(this.#definitionTexts(row), this.#readers.numbers)
    if (isFault(definition)) return definition
    if (known !== null) {
      const difference = differenceFrom(known.row, definition, this.#choices.convertUnits)
      if (difference?.couldConvert) this.couldConvertUnits = true
      return difference?.fault ?? definition
    }
    if (defines(definition) || partNumberIsNew) return definition
    const designators = [...(partNumber?.byDesignator.keys() ?? [])].sort(naturalOrder)
    const more = designators.length > NAMED ? ` and ${designators.length - NAMED} more` : ''
    return {
      meaning: at.characteristic >= 0 ? 'characteristic' : 'characteristicName',
      value: name,
      reason:
        `The part number has no characteristic of this designator or name. Known are ${designators.slice(0, NAMED).join(', ') || 'none'}${more}. ` +
        'Correct it, or bring a file that defines the characteristic first.',
    }
  }

  #definitionTexts(row: readonly string[]): DefinitionTexts {
    const at = this.#at
    return {
      kind: field(row, at.kind),
      axis: field(row, at.axis),
      unit: field(row, at.unit) || (this.#readers.columns.headingUnit ?? ''),
      nominal: field(row, at.nominal),
      lower: field(row, at.lower),
      upper: field(row, at.upper),
      tolerance: field(row, at.tolerance),
      plusTolerance: field(row, at.plusTolerance),
      minusTolerance: field(row, at.minusTolerance),
    }
  }

  /** The value in the unit of the characteristic. */
  #inUnit(
    value: number,
    text: string,
    row: readonly string[],
    unit: Unit,
    known: CharacteristicEntry | null,
  ): number | Fault {
    const unitText = field(row, this.#at.unit)
    if (unitText === unit) return value
    const given = unitText === '' ? this.#readers.columns.headingUnit : readUnit(unitText)
    if (given === unit || (given === null && unitText === '')) return value
    if (given === null) {
      return {
        meaning: 'unit',
        value: unitText,
        reason: 'This unit is not known. Known are mm, in, um and deg.',
      }
    }
    const converted = convertWritten(this.#readers.numbers.readDecimal(text) as string, given, unit)
    const name = known?.row.designator ?? ''
    if (converted === null) {
      return {
        meaning: unitText === '' ? 'value' : 'unit',
        value: unitText || text,
        reason: `Characteristic ${name} is measured in ${unit}, which ${given} cannot be converted to.`,
      }
    }
    if (this.#choices.convertUnits) {
      const units = `${given} to ${unit}`
      this.#converted.set(units, (this.#converted.get(units) ?? 0) + 1)
      return Number(converted)
    }
    this.couldConvertUnits = true
    return {
      meaning: unitText === '' ? 'value' : 'unit',
      value: unitText || text,
      reason: `The value is in ${given}, but characteristic ${name} is in ${unit}: ${text} ${given} is ${shortDecimal(converted)} ${unit}. Choose to convert units if the file is right.`,
    }
  }

  /** The characteristic on the draft, created or completed where the row defines it. */
  #settle(
    known: CharacteristicEntry | null,
    requirement: Definition | null,
    owner: PartNumberEntry,
    row: readonly string[],
    unit: Unit,
  ): CharacteristicEntry {
    if (known !== null && requirement === null) return known
    const at = this.#at
    const label = `${owner.row.number} ${owner.row.revision}`
    let entry = known
    const limits = (definition: Definition) => ({
      nominal: numberIn(unit, definition, 'nominal'),
      lower: numberIn(unit, definition, 'lower'),
      upper: numberIn(unit, definition, 'upper'),
    })
    const definition = requirement as Definition
    if (entry === null) {
      const designator = own(field(row, at.characteristic) || field(row, at.characteristicName))
      entry = this.#draft.addCharacteristic({
        part_number_id: owner.row.id,
        designator,
        name: own(field(row, at.characteristicName) || designator),
        kind: definition.kind ?? 'other',
        ...limits(definition),
        unit,
        axis: definition.axis,
      })
      this.#notes.gather(
        defines(definition)
          ? `Characteristics of ${label} that were not on record were created as the file defines them: ….`
          : `Characteristics of ${label} were created without limits, since the file does not give any: …. Bring a file of characteristics to add them.`,
        designator,
      )
    } else if (defines(definition) && !defines(recorded(entry))) {
      this.#draft.changeCharacteristic(entry, limits(definition))
      this.#notes.gather(
        `Characteristics of ${label} got the nominal and limits that they lacked: ….`,
        entry.row.designator,
      )
    }
    entry.agreed = `${field(row, at.nominal)};${field(row, at.lower)};${field(row, at.upper)};${field(row, at.tolerance)};${field(row, at.plusTolerance)};${field(row, at.minusTolerance)};${field(row, at.unit)}`
    return entry
  }

  #addPart(owner: PartNumberEntry, serial: string, buildText: string): PartEntry {
    let build = this.#draft.builds.get(buildText)
    if (build === undefined) {
      build = this.#draft.addBuild({
        name: own(buildText),
        printed_at: null,
        printer: null,
        build_box: null,
        powder_lot: null,
        powder_reuse: null,
        scale_x: null,
        scale_y: null,
        scale_z: null,
        conditions: '{}',
      })
      this.#notes.gather(
        'Builds that were not on record were created: …. Bring a file of builds to say when and how they were printed.',
        build.name,
      )
    }
    const name = own(serial)
    const part: PartEntry = {
      row: {
        id: this.#draft.take('part'),
        part_number_id: owner.row.id,
        serial: name,
        build_id: build.id,
        bed_x: null,
        bed_y: null,
        bed_z: null,
        furnace_load_id: null,
        tray: null,
        tray_place: null,
        stages: 0,
      },
      buildName: build.name,
      loadName: '',
      bedText: '',
      stored: false,
      changed: true,
      loadLearnt: false,
      cells: {},
    }
    owner.parts.set(name, part)
    return part
  }

  /** Add to the part what it lacked. */
  #fillIn(part: PartEntry, place: Place | null, loadText: string): void {
    if (loadText !== '' && part.loadName === '') {
      let load = this.#draft.furnaceLoads.get(loadText)
      if (load === undefined) {
        load = this.#draft.addFurnaceLoad({
          name: own(loadText),
          sintered_at: null,
          furnace: null,
          profile: null,
          atmosphere: null,
          conditions: '{}',
        })
        this.#notes.gather(
          'Furnace loads that were not on record were created: …. Bring a file of furnace loads to say when and how they were sintered.',
          load.name,
        )
      }
      part.row.furnace_load_id = load.id
      part.loadName = load.name
      part.loadLearnt = true
      part.cells = {}
      this.#out.noteChanged(part)
    }
    if (place === null) return
    if (place.tray !== null) part.row.tray = place.tray
    if (place.trayPlace !== null) part.row.tray_place = place.trayPlace
    if (place.bed !== null) {
      part.row.bed_x = place.bed.x
      part.row.bed_y = place.bed.y
      part.row.bed_z = place.bed.z
      part.bedText = place.bed.text
    }
    this.#out.noteChanged(part)
  }

  #named(text: string, known: Map<string, number>, table: 'gauge' | 'inspector'): number {
    let id = known.get(text)
    if (id === undefined) {
      const name = own(text)
      id = this.#draft[table](name)
      known.set(name, id)
    }
    return id
  }
}

/** A record as if a row had said it. */
function recorded({ row }: CharacteristicEntry): Definition {
  const text = (number: number | null) => (number === null ? null : String(number))
  return {
    kind: row.kind,
    axis: row.axis,
    unit: row.unit,
    nominal: text(row.nominal),
    lower: text(row.lower),
    upper: text(row.upper),
    floorLeftOff: false,
  }
}

function checkLineage(
  part: PartEntry | null,
  serial: string,
  buildText: string,
  loadText: string,
): Fault | null {
  if (part === null) {
    if (buildText !== '') return null
    return {
      meaning: 'build',
      value: '',
      reason: `Part ${serial} is not on record and the row names no build. Give the build it was printed in.`,
    }
  }
  if (buildText !== '' && buildText !== part.buildName) {
    return {
      meaning: 'build',
      value: buildText,
      reason: `Part ${serial} is recorded in build ${part.buildName}, but the row says ${buildText}. Correct the serial number or the build.`,
    }
  }
  if (loadText !== '' && part.loadName !== '' && loadText !== part.loadName) {
    return {
      meaning: 'furnaceLoad',
      value: loadText,
      reason: `Part ${serial} is recorded in furnace load ${part.loadName}, but the row says ${loadText}. Correct the serial number or the furnace load.`,
    }
  }
  return null
}

/** 1 where nothing is written, 0 where it is no replicate number. */
function readReplicate(text: string): number {
  if (text === '' || text === '1') return 1
  return /^\d{1,4}$/.test(text) ? Number(text) : 0
}

/** A converted number, to read rather than to compute with. */
function shortDecimal(text: string): string {
  return String(Number(Number(text).toPrecision(9)))
}
