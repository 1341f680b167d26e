import type { Draft } from './draft.ts'
import type { KnownNames } from './shapes/found-grid.ts'

/** What is on record, as the search for a layout asks for it. */
export function knownNames(draft: Draft): KnownNames {
  return {
    isCharacteristic: (text, partNumber) =>
      draft
        .entriesOf(partNumber)
        .some(({ byDesignator, byName }) => byDesignator.has(text) || byName.has(text)),
    isGauge: (name) => draft.knowsGauge(name),
    partNumbersWith: (texts) => [
      ...new Set(
        draft
          .entriesOf(null)
          .filter(({ byDesignator, byName }) =>
            texts.every((text) => byDesignator.has(text) || byName.has(text)),
          )
          .map(({ row }) => row.number),
      ),
    ],
  }
}
