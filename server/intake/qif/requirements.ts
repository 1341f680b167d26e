import { convertWritten } from '../../../src/checks/convert-written.ts'
import type { WrittenUnit } from '../../../src/domain/characteristic.ts'
import { addDecimals, divideDecimals, negateDecimal } from '../../../src/numbers/decimal.ts'
import { readUnit } from '../units.ts'
import { type CharacteristicType, characteristicType, typeName } from './characteristic-types.ts'
import type { FileUnits } from './qif-units.ts'
import { type Gathered, type Leaf, leafOf, textOf, textsOf } from './records.ts'

/** A characteristic of the file as a row of the measurement table says it. Numbers stay as written. */
export interface Requirement {
  readonly designator: string
  readonly name: string
  readonly type: CharacteristicType
  readonly nominal: string
  readonly lower: string
  readonly upper: string
  readonly plusTolerance: string
  readonly minusTolerance: string
  readonly unit: string
  readonly deviceIds: readonly string[]
}

/** Why the values of a characteristic are not taken, as a note with "…" for the designators. */
export interface NotTaken {
  readonly note: string
  readonly label: string
}

/** What the receipt should say of how characteristics were read: a note with "…", and a designator. */
export type Remark = (note: string, label: string) => void

/** The aspects of characteristics as the file gives them, each by its identity. */
export interface Aspects {
  readonly definitions: ReadonlyMap<string, Gathered>
  readonly nominals: ReadonlyMap<string, Gathered>
  readonly items: ReadonlyMap<string, Gathered>
}

/** Put the aspects of each characteristic together, by identity of its item. */
export function readRequirements(
  { definitions, nominals, items }: Aspects,
  units: FileUnits,
  remark: Remark,
): Map<string, Requirement | NotTaken> {
  const sharing = new Map<string, number>()
  for (const item of items.values()) {
    const designator = textOf(item, 'CharacteristicDesignator/Designator')
    sharing.set(designator, (sharing.get(designator) ?? 0) + 1)
  }
  const requirements = new Map<string, Requirement | NotTaken>()
  for (const [id, item] of items) {
    const designator = textOf(item, 'CharacteristicDesignator/Designator')
    const shared = designator !== '' && (sharing.get(designator) as number) > 1
    const name = textOf(item, 'Name')
    // Several features under one balloon: only their names tell them apart.
    const label = shared && name !== designator ? `${designator} ${name}`.trim() : designator || name
    if (shared) remark('Designators that several characteristics share got the name added: ….', label)
    const nominal = nominals.get(textOf(item, 'CharacteristicNominalId'))
    const definition = definitions.get(textOf(nominal, 'CharacteristicDefinitionId'))
    requirements.set(id, readRequirement(item, label, name, nominal, definition, units, remark))
  }
  return requirements
}

function readRequirement(
  item: Gathered,
  designator: string,
  name: string,
  nominal: Gathered | undefined,
  definition: Gathered | undefined,
  units: FileUnits,
  remark: Remark,
): Requirement | NotTaken {
  const type = characteristicType(item.element)
  if (type === null) {
    return {
      note: `Values of the type ${typeName(item.element)}, which has no one length or angle, passed over: ….`,
      label: designator,
    }
  }
  if (textOf(definition, 'NonTolerance') === 'SET') {
    return { note: 'Values that were set and not measured passed over: ….', label: designator }
  }
  if (definition === undefined) {
    remark(
      'Characteristics whose definition the file does not hold were read without nominal and limits: ….',
      designator,
    )
  }
  const unit = type.quantity === 'linear' ? units.linear : units.angular
  const written = (record: Gathered | undefined, path: string): string => {
    const leaf = leafOf(record, path)
    return leaf === null ? '' : inUnit(leaf, unit, units)
  }
  const requirement = {
    designator,
    name,
    type,
    nominal: written(nominal, 'TargetValue'),
    lower: '',
    upper: '',
    plusTolerance: '',
    minusTolerance: '',
    unit,
    deviceIds: textsOf(item, 'MeasurementDeviceIds/Id'),
  }
  const condition = textOf(definition, 'MaterialCondition')
  if (condition === 'MAXIMUM' || condition === 'LEAST') {
    remark(
      'Tolerances at maximum or least material condition are taken without their bonus, so that parts conform which may be counted as out of specification: ….',
      designator,
    )
  }
  switch (type.tolerance) {
    case 'zone':
      return { ...requirement, upper: written(definition, 'ToleranceValue') }
    case 'signed-zone':
      return { ...requirement, nominal: '0', ...signedZone(written, definition) }
    case 'deviations':
      return { ...requirement, ...deviations(written, definition, designator, remark) }
  }
}

type Written = (record: Gathered | undefined, path: string) => string

/** Half the zone on either side of nominal, or as much of it outside the material as the definition says. */
function signedZone(written: Written, definition: Gathered | undefined): { lower: string; upper: string } {
  const width = written(definition, 'ToleranceValue')
  if (!isNumber(width)) return { lower: '', upper: '' }
  const disposition = written(definition, 'OuterDisposition')
  const outer = isNumber(disposition) ? disposition : divideDecimals(width, '2', 25)
  return { lower: addDecimals(outer, negateDecimal(width)), upper: outer }
}

function deviations(
  written: Written,
  definition: Gathered | undefined,
  designator: string,
  remark: Remark,
): Partial<Requirement> {
  const max = written(definition, 'Tolerance/MaxValue')
  const min = written(definition, 'Tolerance/MinValue')
  if (definition?.leaves.has('Tolerance') && max === '' && min === '') {
    remark('Tolerances that are not given as numbers, as limits and fits are, were not read: ….', designator)
  }
  if (textOf(definition, 'Tolerance/DefinedAsLimit') === 'true') return { upper: max, lower: min }
  return { plusTolerance: max, minusTolerance: min === '' ? '' : signed(min) }
}

/** In the measurement table an unsigned minus tolerance is taken off; here every deviation is added. */
function signed(text: string): string {
  return /^[+-]/.test(text) ? text : `+${text}`
}

/** The number in the unit, exactly; with its own unit behind it where it cannot be converted, to be refused. */
function inUnit(leaf: Leaf, unit: string, units: FileUnits): string {
  if (leaf.unit === null) return leaf.text
  const from = readUnit(units.named(leaf.unit))
  return (from === null ? null : converted(leaf.text, from, unit)) ?? `${leaf.text} ${leaf.unit}`
}

/** A number from one unit in another; null where it is none or the units do not measure the same thing. */
function converted(text: string, from: WrittenUnit, unit: string): string | null {
  const to = readUnit(unit)
  return to === null || !isNumber(text) ? null : convertWritten(text, from, to)
}

/** The characteristic with its numbers in another unit, for a value that carries a unit of its own. */
export function requirementIn(unit: string, requirement: Requirement): Requirement {
  const from = readUnit(requirement.unit)
  if (from === null || from === readUnit(unit)) return requirement
  const turned = (text: string): string => (text === '' ? '' : (converted(text, from, unit) ?? text))
  const minus = turned(requirement.minusTolerance)
  return {
    ...requirement,
    unit,
    nominal: turned(requirement.nominal),
    lower: turned(requirement.lower),
    upper: turned(requirement.upper),
    plusTolerance: turned(requirement.plusTolerance),
    minusTolerance: minus === '' ? '' : signed(minus),
  }
}

function isNumber(text: string): boolean {
  return /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,3})?$/.test(text)
}
