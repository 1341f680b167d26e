import type { FactorDecisionView, ShrinkageView } from '../../server/contract/shrinkage.ts'
import type { ScaleFactors } from '../../src/domain/build.ts'
import type { Axis } from '../../src/domain/characteristic.ts'
import type { Prediction } from '../../src/shrinkage/predict.ts'
import { characteristicTitle } from '../../src/words/format.ts'
import type { TableModel } from '../save/csv.ts'
import { unitText } from './quantities.ts'
import { figures, words } from './table-columns.ts'

export function predictionsTable(predictions: readonly Prediction[]): TableModel {
  return {
    caption: 'Expected under the present factors and under the new ones',
    columns: [
      words('characteristic'),
      words('unit'),
      figures('nominal', 3),
      ...['present', 'new'].flatMap((which) => [
        figures(`${which}: mean`, 4),
        figures(`${which}: mean from`, 4),
        figures(`${which}: mean to`, 4),
        figures(`${which}: Ppk`, 2),
        figures(`${which}: Ppk from`, 2),
        figures(`${which}: Ppk to`, 2),
        figures(`${which}: outside, %`, 4),
      ]),
      words('then'),
    ],
    rows: predictions.map((prediction) => [
      characteristicTitle(prediction.characteristic),
      unitText(prediction.characteristic.unit),
      prediction.characteristic.nominal,
      ...[prediction.present, prediction.changed].flatMap(({ mean, ppk, outside }) => [
        mean.value,
        mean.lower,
        mean.upper,
        ppk?.value ?? null,
        ppk?.lower ?? null,
        ppk?.upper ?? null,
        outside === null ? null : 100 * outside,
      ]),
      changeWord(prediction),
    ]),
  }
}

/** What a change of factors does to a characteristic. */
export function changeWord({ worse, present, changed }: Prediction): string {
  if (worse === null) return 'no limits'
  if (worse) return 'worse'
  return changed.outside === present.outside ? 'the same' : 'better'
}

export function expectedTable({ awaited }: ShrinkageView): TableModel {
  return {
    caption: 'Sizes to expect of builds not measured yet, 95 %',
    columns: [
      words('builds'),
      words('characteristic'),
      words('unit'),
      figures('mean', 3),
      figures('mean from', 3),
      figures('mean to', 3),
      figures('parts from', 3),
      figures('parts to', 3),
      words('mean expected'),
    ],
    rows: awaited.flatMap(({ builds, sizes }) =>
      sizes.map((size) => [
        namesInShort(builds.map(({ name }) => name)),
        characteristicTitle(size.characteristic),
        unitText(size.characteristic.unit),
        size.mean,
        size.meanLower,
        size.meanUpper,
        size.partLower,
        size.partUpper,
        size.meanOutside ? 'outside the limits' : 'within the limits',
      ]),
    ),
  }
}

/** All names where there are few, first and last otherwise. */
function namesInShort(names: readonly string[]): string {
  return names.length <= 4 ? names.join(', ') : `${names[0]} … ${names.at(-1)} (${names.length} builds)`
}

export function outcomesTable({ number, outcomes }: FactorDecisionView): TableModel {
  return {
    caption: `What came of decision ${number}`,
    columns: [
      words('characteristic'),
      words('unit'),
      figures('predicted', 4),
      figures('measured', 4),
      figures('builds', 0),
      figures('parts', 0),
      figures('difference', 4),
      figures('allowed, ±', 4),
      words('prediction'),
    ],
    rows: outcomes.map((outcome) => [
      characteristicTitle(outcome.characteristic),
      unitText(outcome.characteristic.unit),
      outcome.predicted,
      outcome.observed,
      outcome.builds,
      outcome.parts,
      outcome.difference,
      outcome.allowed.upper,
      outcome.held ? 'held' : 'did not hold',
    ]),
  }
}

export function factorsTable(view: ShrinkageView, set: ScaleFactors): TableModel {
  return {
    caption: `Scale factors of ${view.partNumber.number} rev ${view.partNumber.revision}`,
    columns: [
      words('axis'),
      figures('present', 4),
      figures('needed', 5),
      figures('±', 5),
      figures('to set', 4),
    ],
    rows: view.advice.axes.map(({ axis, needed }) => [
      axis,
      factorOf(view.factors.present, axis),
      needed?.value ?? null,
      needed?.halfWidth ?? null,
      factorOf(set, axis),
    ]),
  }
}

export function factorOf({ x, y, z }: ScaleFactors, axis: Axis): number | null {
  return axis === 'X' ? x : axis === 'Y' ? y : z
}
