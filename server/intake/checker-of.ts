import type { FileKind, ImportChoices } from '../contract/receipt.ts'
import type { Writer } from '../store/writer.ts'
import { CharacteristicChecker } from './check-characteristics.ts'
import { buildChecker, furnaceLoadChecker } from './check-conditions.ts'
import { GaugeRegisterChecker } from './check-gauge-register.ts'
import { GaugeStudyChecker } from './check-gauge-study.ts'
import { MeasurementChecker } from './check-measurements.ts'
import type { Draft } from './draft.ts'
import type { Notes } from './notes.ts'
import type { Readers, RowChecker } from './row-checker.ts'
import type { Uncertainties } from './uncertainties.ts'

/** The checker for the rows of a kind of file. */
export function checkerOf(
  kind: FileKind,
  writer: Writer,
  draft: Draft,
  notes: Notes,
  readers: Readers,
  choices: ImportChoices,
  importId: number,
  uncertainties: Uncertainties | null,
): RowChecker {
  switch (kind) {
    case 'measurements':
      return new MeasurementChecker(writer, draft, notes, readers, choices, importId, uncertainties)
    case 'characteristics':
      return new CharacteristicChecker(writer, draft, notes, readers, choices)
    case 'builds':
      return buildChecker(writer, draft, notes, readers)
    case 'furnace-loads':
      return furnaceLoadChecker(writer, draft, notes, readers)
    case 'gauge-study':
      return new GaugeStudyChecker(writer, draft, notes, readers, choices, importId)
    case 'gauges':
      return new GaugeRegisterChecker(writer, draft, notes, readers, choices)
  }
}
