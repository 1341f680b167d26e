import type { Doubt, DoubtChoices, DoubtKind, Receipt } from '../contract/receipt.ts'

/** Doubts that a receipt spells out. */
const SPELT_OUT = 1000

type Decision = Doubt['decision']
type Raised = Omit<Doubt, 'decision' | 'rows'>

/** What is doubtful in a file, with what the inspector decided of it. */
export class Doubts {
  readonly #choices: DoubtChoices
  readonly #byRow = new Map<string, 'keep' | 'leave-out'>()
  readonly #spelt: (Raised & { rows: number; decision: Decision })[] = []
  readonly #gathered = new Map<string, Raised & { rows: number; decision: Decision }>()
  readonly #counts = new Map<DoubtKind, { rows: number; waiting: number }>()
  #leftOut = 0

  constructor(choices: DoubtChoices | null) {
    this.#choices = choices ?? {}
    for (const { kind, line, position, decision } of this.#choices.rows ?? []) {
      this.#byRow.set(`${kind}/${line}/${position ?? ''}`, decision)
    }
  }

  /** Rows left out so far. */
  get leftOut(): number {
    return this.#leftOut
  }

  /** True where the file cannot be taken in before something is decided. */
  get waiting(): boolean {
    return [...this.#counts.values()].some(({ waiting }) => waiting > 0)
  }

  /** Whether the inspector said to leave this very row out, for a doubt that would come up too late for it. */
  leavesOut(kind: DoubtKind, line: number, position: number): boolean {
    return this.#byRow.size > 0 && this.#byRow.get(`${kind}/${line}/${position}`) === 'leave-out'
  }

  /** @returns true where the row is to be left out */
  raise(doubt: Raised, decided: Decision = this.#decide(doubt)): boolean {
    this.#count(doubt.kind, decided)
    if (this.#spelt.length < SPELT_OUT) this.#spelt.push({ ...doubt, rows: 1, decision: decided })
    return decided === 'left-out'
  }

  /** A doubt about something that many rows share, gathered under `key` as one. @returns as `raise` */
  raiseShared(key: string, doubt: Raised): boolean {
    const decided = this.#decide(doubt)
    this.#count(doubt.kind, decided)
    const known = this.#gathered.get(`${doubt.kind}/${decided}/${key}`)
    if (known !== undefined) {
      known.rows++
    } else if (this.#gathered.size < SPELT_OUT) {
      const first = { ...doubt, rows: 1, decision: decided }
      this.#gathered.set(`${doubt.kind}/${decided}/${key}`, first)
      this.#spelt.push(first)
    }
    return decided === 'left-out'
  }

  /** For the receipt; nothing where nothing was doubtful. */
  summary(): Pick<Receipt, 'doubts' | 'doubtCounts' | 'rowsLeftOut'> {
    if (this.#counts.size === 0) return {}
    return {
      doubts: [...this.#spelt].sort((a, b) => (a.line ?? 0) - (b.line ?? 0)),
      doubtCounts: [...this.#counts].map(([kind, count]) => ({ kind, ...count })),
      rowsLeftOut: this.#leftOut,
    }
  }

  #decide({ kind, line, position, waits }: Raised): Decision {
    const ofRow = this.#byRow.get(`${kind}/${line ?? ''}/${position ?? ''}`)
    const ofKind = this.#choices.kinds?.[kind]
    if (ofRow !== undefined) return ofRow === 'keep' ? 'kept' : 'left-out'
    // Of a pair the first was read before it was doubtful: each has to be named.
    const byKind = kind === 'exchanged' && ofKind === 'leave-out' ? undefined : ofKind
    if (byKind !== undefined) return byKind === 'keep' ? 'kept' : 'left-out'
    return this.#choices.all === 'keep' || !waits ? 'kept' : 'waiting'
  }

  #count(kind: DoubtKind, decided: Decision): void {
    const count = this.#counts.get(kind) ?? { rows: 0, waiting: 0 }
    count.rows++
    if (decided === 'waiting') count.waiting++
    if (decided === 'left-out') this.#leftOut++
    this.#counts.set(kind, count)
  }
}
