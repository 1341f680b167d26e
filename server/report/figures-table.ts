import type { IndexEstimate } from '../../src/capability/index-estimate.ts'
import { writtenUnit } from '../../src/domain/characteristic.ts'
import { requirementText } from '../../src/figures/requirement.ts'
import { unitText } from '../../src/words/unit.ts'
import type { Report } from '../contract/report.ts'

export type TableValue = string | number | null

/** A table for spreadsheets: a row of headings, and numbers that are not rounded. */
export interface FiguresTable {
  readonly headings: readonly string[]
  readonly rows: readonly (readonly TableValue[])[]
}

/** The figures of every characteristic. */
export function figuresTable({ content, number, fingerprint }: Report): FiguresTable {
  const { partNumber, settings, span } = content
  const index = (name: string) => [name, `${name} lower`, `${name} upper`]
  return {
    headings: [
      'part number',
      'revision',
      'stage',
      'first build',
      'last build',
      'number',
      'characteristic',
      'requirement',
      'nominal',
      'lower limit',
      'upper limit',
      'unit',
      'values',
      'builds',
      'mean',
      'least',
      'greatest',
      'sigma within builds',
      'sigma between builds',
      'sigma overall',
      ...index('Cp'),
      ...index('Cpk'),
      ...index('Pp'),
      ...index('Ppk'),
      'confidence',
      'class',
      'required index',
      'required',
      'verdict',
      'in control',
      'first signal at build',
      'open signals',
      'distribution',
      'expected below',
      'expected above',
      ...index('expected outside'),
      ...index('tolerance used'),
      'counted below',
      'counted above',
      'uncertainty, k = 2',
      'unit of the uncertainty',
      'narrowest limit of a part’s own',
      'widest limit of a part’s own',
      ...['Cp', 'Cpk', 'Pp', 'Ppk'].map((name) => `${name} of the parts alone`),
      'proved to conform',
      'inside the uncertainty',
      'proved not to conform',
      'report',
      'fingerprint',
    ],
    rows: content.characteristics.map(({ characteristic, summary, outside, signals, gauge }) => [
      partNumber.number,
      partNumber.revision,
      settings.stage,
      span?.first ?? null,
      span?.last ?? null,
      characteristic.designator,
      characteristic.name,
      requirementText(characteristic),
      characteristic.nominal,
      characteristic.lower,
      characteristic.upper,
      unitText(characteristic.unit),
      summary.n,
      summary.builds,
      summary.mean,
      summary.min,
      summary.max,
      summary.sigmaWithin,
      summary.sigmaBetween,
      summary.sigmaOverall,
      ...three(summary.cp),
      ...three(summary.cpk),
      ...three(summary.pp),
      ...three(summary.ppk),
      summary.requirement.confidence,
      summary.requirement.class,
      summary.requirement.index,
      summary.requirement.value,
      summary.verdict,
      summary.stable ? 'yes' : 'no',
      summary.movedAt,
      signals.filter(({ finding }) => finding === null).length,
      summary.shape?.fitted.family ?? null,
      summary.outside.below?.value ?? null,
      summary.outside.above?.value ?? null,
      ...three(summary.outside.total),
      ...three(summary.toleranceUsed),
      outside.below,
      outside.above,
      gauge?.expanded ?? null,
      unitText(writtenUnit(characteristic)),
      summary.ownTolerance?.least ?? null,
      summary.ownTolerance?.greatest ?? null,
      ...[gauge?.cp, gauge?.cpk, gauge?.pp, gauge?.ppk].map((each) => each?.corrected?.value ?? null),
      gauge?.conformity?.conforming ?? null,
      gauge?.conformity?.['inside the uncertainty'] ?? null,
      gauge?.conformity?.['not conforming'] ?? null,
      number,
      fingerprint,
    ]),
  }
}

function three(index: Omit<IndexEstimate, 'confidence'> | null): TableValue[] {
  return index === null ? [null, null, null] : [index.value, index.lower, index.upper]
}
