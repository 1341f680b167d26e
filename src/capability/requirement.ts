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
