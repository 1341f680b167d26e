import type { ImportChoices, LayoutChoices } from '../contract/receipt.ts'
import type { RememberedLayout } from '../store/layouts.ts'
import type { Store } from '../store/store.ts'
import type { Writer } from '../store/writer.ts'
import type { Layout } from './layout.ts'

/** What was said of the layout of earlier files like this one, beside what is said of this one. */
export class LayoutMemory {
  readonly #decided: ImportChoices
  #fingerprint = ''
  #remembered: RememberedLayout | null = null

  /** @param decided what the person who brought the file said */
  constructor(decided: ImportChoices) {
    this.#decided = decided
  }

  /** What somebody said of an earlier file like it; null where nobody had to. */
  get remembered(): RememberedLayout | null {
    return this.#remembered
  }

  /** The choices for a file of this layout: as the person said, else as someone said before. */
  async choicesFor(fingerprint: string, store: Store): Promise<ImportChoices> {
    const decided = this.#decided
    this.#fingerprint = fingerprint
    this.#remembered = await store.rememberedLayout(fingerprint)
    if (this.#remembered === null) return decided
    const { partNumber, revision, ...layout } = this.#remembered.choices
    return {
      ...decided,
      layout: mergedLayout(layout, decided.layout),
      partNumber: decided.partNumber ?? partNumber ?? null,
      revision: decided.partNumber === null ? (decided.revision ?? revision ?? null) : decided.revision,
    }
  }

  /** Note down what a person decided, for files of the same layout. */
  async remember(writer: Writer, found: Layout | null, at: number): Promise<void> {
    const { layout, partNumber, revision, who } = this.#decided
    if (found === null) return
    const isNamed = partNumber !== null && !found.dialect.columns.meanings.includes('partNumber')
    const choices = {
      ...this.#remembered?.choices,
      ...mergedLayout(this.#remembered?.choices ?? {}, layout),
      ...(isNamed ? { partNumber, ...(revision === null ? {} : { revision }) } : {}),
    }
    if (Object.keys(layout ?? {}).length === 0 && !isNamed) return
    await writer.rememberLayout(this.#fingerprint, { choices, who, at })
  }
}

/** What was said of a layout before, with what is said now: column by column, so that one answer undoes no other. */
function mergedLayout(before: LayoutChoices, now: LayoutChoices | null | undefined): LayoutChoices {
  if (now === null || now === undefined) return before
  const columns = { ...before.columns, ...now.columns }
  return { ...before, ...now, ...(Object.keys(columns).length === 0 ? {} : { columns }) }
}
