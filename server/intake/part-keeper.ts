import type { PartTable } from '../store/schema.ts'
import type { Draft, PartEntry, PartNumberEntry } from './draft.ts'
import type { Fault } from './faults.ts'
import type { Meaning } from './meaning.ts'
import type { MeasurementWriter } from './measurement-writer.ts'
import type { Notes } from './notes.ts'
import { field, indicesOf, nameTooLong, own, type Readers, tooLongForName } from './row-checker.ts'

/** What a row says of its part's place that is not on record; null fields where it says nothing new. */
export interface Place {
  bed: { x: number | null; y: number | null; z: number | null; text: string } | null
  tray: string | null
  trayPlace: string | null
}

/** Finds and completes the part that a row of measurements speaks of. */
export class PartKeeper {
  readonly #draft: Draft
  readonly #notes: Notes
  readonly #readers: Readers
  readonly #out: MeasurementWriter
  readonly #at: Readonly<Record<Meaning, number>>

  constructor(draft: Draft, notes: Notes, readers: Readers, out: MeasurementWriter) {
    this.#draft = draft
    this.#notes = notes
    this.#readers = readers
    this.#out = out
    this.#at = indicesOf(readers.columns)
  }

  /** What the row says of the part's place that is not known yet, or a fault where it says otherwise. */
  place(entry: PartEntry | null, row: readonly string[]): Place | Fault | null {
    const at = this.#at
    const part: PartTable | null = entry?.row ?? null
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
    if (text === entry?.bedText || text === ';;') return place
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

  /** Put a part that is not on record on the draft. */
  add(owner: PartNumberEntry, serial: string, buildText: string): PartEntry {
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
      loadLearnt: false,
      cells: {},
    }
    owner.parts.set(name, part)
    return part
  }

  /** Add to the part what it lacked. */
  fillIn(part: PartEntry, place: Place | null, loadText: string): void {
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
    const bedWas = `${part.row.bed_x};${part.row.bed_y};${part.row.bed_z}`
    if (place.tray !== null) part.row.tray = place.tray
    if (place.trayPlace !== null) part.row.tray_place = place.trayPlace
    if (place.bed !== null) {
      // Known by its text from here on; the coordinates themselves may be those on record already.
      part.row.bed_x = place.bed.x
      part.row.bed_y = place.bed.y
      part.row.bed_z = place.bed.z
      part.bedText = place.bed.text
    }
    const bedIs = `${part.row.bed_x};${part.row.bed_y};${part.row.bed_z}`
    if (place.tray !== null || place.trayPlace !== null || bedIs !== bedWas) this.#out.noteChanged(part)
  }
}

/** Whether the row's build and furnace load are the part's; null where they are. */
export function checkLineage(
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
