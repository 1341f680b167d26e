/**
 * Colours and type of a figure. A figure takes them as an argument, since it is drawn on a screen, into a saved
 * file and on paper alike. Each colour is any SVG paint.
 */
export interface Palette {
  /** Ground that the figure lies on; also the inside of open marks. */
  readonly paper: string
  /** Zones and empty track. */
  readonly wash: string
  /** Hairlines. */
  readonly rule: string
  readonly ink: string
  /** Second text, points, limits. */
  readonly soft: string
  /** Axes; never text. */
  readonly faint: string
  /** Below nominal. */
  readonly under: string
  /** Above nominal. */
  readonly over: string
  /** A requirement not met, and specification limits. */
  readonly mark: string
  readonly font: string
}

const FONT = "'IBM Plex Sans', system-ui, sans-serif"

/** The page's own custom properties, so that light and dark follow without drawing again. */
export const SCREEN: Palette = {
  paper: 'var(--paper)',
  wash: 'var(--wash)',
  rule: 'var(--rule)',
  ink: 'var(--ink)',
  soft: 'var(--soft)',
  faint: 'var(--faint)',
  under: 'var(--under)',
  over: 'var(--over)',
  mark: 'var(--mark)',
  font: FONT,
}

/** For files that leave the page: the light colours as values. */
export const LIGHT: Palette = {
  paper: '#fbfaf7',
  wash: '#f1eee7',
  rule: '#e4e1da',
  ink: '#20242a',
  soft: '#5d646e',
  faint: '#9aa1ab',
  under: '#2b6a99',
  over: '#c05f1c',
  mark: '#7a1f3d',
  font: FONT,
}

/** Black on white: side is told by place, open and filled marks and words alone. */
export const PAPER: Palette = {
  paper: '#ffffff',
  wash: '#f0f0f0',
  rule: '#c8c8c8',
  ink: '#000000',
  soft: '#333333',
  faint: '#777777',
  under: '#000000',
  over: '#000000',
  mark: '#000000',
  font: FONT,
}
