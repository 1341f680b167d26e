/** The index that a requirement is about: what happened, or what a process without shifts can hold. */
export type IndexKind = 'Ppk' | 'Cpk'

/** What is asked of a characteristic: the least index, and how sure the answer has to be. */
export interface IndexRequirement {
  readonly index: IndexKind
  /** The least index. */
  readonly value: number
  /** As a fraction. */
  readonly confidence: number
}

/** A class of characteristics that the customer asks the same of: critical, major, minor, or the shop's own names. */
export interface RequirementClass extends IndexRequirement {
  readonly name: string
}

/** What the customer asks of a part number. */
export interface CustomerRequirements {
  /** Of characteristics without a class. */
  readonly fallback: IndexRequirement
  readonly classes: readonly RequirementClass[]
  /** Classes by name; a characteristic stands here once at most. */
  readonly assigned: readonly { readonly characteristicId: number; readonly class: string }[]
}

/** What holds while nobody has decided anything: Ppk 1.33, widespread in contracts (common practice), at 95 %. */
export const DEFAULT_REQUIREMENTS: CustomerRequirements = {
  fallback: { index: 'Ppk', value: 1.33, confidence: 0.95 },
  classes: [],
  assigned: [],
}

/** The requirement that a characteristic is judged by, and the class that it comes from; null for none. */
export interface AppliedRequirement extends IndexRequirement {
  readonly class: string | null
}

/** The requirement of one characteristic. */
export function requirementOf(
  { fallback, classes, assigned }: CustomerRequirements,
  characteristicId: number,
): AppliedRequirement {
  const name = assigned.find((each) => each.characteristicId === characteristicId)?.class
  const found = classes.find((each) => each.name === name)
  if (found === undefined) return { ...fallback, class: null }
  const { name: own, ...requirement } = found
  return { ...requirement, class: own }
}

/** What is asked for in the place of the customer's requirements, for a look; null leaves theirs. */
export interface AskedInstead {
  /** The least Ppk, of all characteristics. */
  readonly required: number | null
  /** As a fraction. */
  readonly confidence: number | null
}

/** The requirements with something else asked for in their place. */
export function askedInstead(
  requirements: CustomerRequirements,
  { required, confidence }: AskedInstead,
): CustomerRequirements {
  const sure = <T extends IndexRequirement>(each: T): T => ({
    ...each,
    confidence: confidence ?? each.confidence,
  })
  if (required !== null) {
    return {
      fallback: sure({ ...requirements.fallback, index: 'Ppk', value: required }),
      classes: [],
      assigned: [],
    }
  }
  return { ...requirements, fallback: sure(requirements.fallback), classes: requirements.classes.map(sure) }
}
