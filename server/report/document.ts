/** A report laid out for reading, whatever it is written to: sections of blocks, in order. */
export interface ReportDocument {
  readonly title: string
  readonly author: string
  /** Seconds since 1970-01-01 UTC. */
  readonly madeAt: number
  /** Stands at the head of every page. */
  readonly running: string
  /** Stands at the foot of every page. */
  readonly foot: string
  readonly sections: readonly Section[]
}

export interface Section {
  /** Null for the opening, which the title heads. */
  readonly heading: string | null
  /** Whether it begins a page of its own. */
  readonly startsPage: boolean
  readonly blocks: readonly Block[]
}

export type Block =
  | { readonly kind: 'lead'; readonly text: string }
  | { readonly kind: 'paragraph'; readonly text: string }
  | { readonly kind: 'list'; readonly items: readonly string[] }
  | { readonly kind: 'facts'; readonly facts: readonly (readonly [name: string, value: string])[] }
  | Table
  | Plate
  | { readonly kind: 'signatures'; readonly roles: readonly string[] }

/** One thing on half a page: a sentence, numbers with pictures beside them, a picture below, and how that came about. */
export interface Plate {
  readonly kind: 'plate'
  readonly heading: string
  readonly lead: string
  readonly numbers: readonly (readonly [name: string, value: string])[]
  readonly beside: readonly DrawnFigure[]
  readonly below: DrawnFigure | null
  readonly notes: string
}

export interface Table {
  readonly kind: 'table'
  /** Null where the heading above says it. */
  readonly caption: string | null
  readonly columns: readonly Column[]
  /** Lines of a cell are parted by line feeds. */
  readonly rows: readonly (readonly string[])[]
}

export interface Column {
  readonly heading: string
  /** Share of the width, beside those of the other columns. */
  readonly share: number
  readonly align: 'left' | 'right'
}

export const left = (heading: string, share: number): Column => ({ heading, share, align: 'left' })
export const right = (heading: string, share: number): Column => ({ heading, share, align: 'right' })

/** A figure as SVG; sizes in pixels. */
export interface DrawnFigure {
  readonly svg: string
  readonly width: number
  readonly height: number
  readonly says: string
}
