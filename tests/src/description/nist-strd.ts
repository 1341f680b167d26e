import { readFileSync } from 'node:fs'

/** Readers of the NIST Statistical Reference Datasets (NIST/ITL, public domain) as published. */

const read = (name: string) =>
  readFileSync(new URL(`../../reference/nist-strd/${name}.dat`, import.meta.url), 'utf8').split(/\r?\n/)

const certified = (lines: readonly string[], label: RegExp) => {
  const line = lines.find((candidate) => label.test(candidate))
  if (line === undefined) throw new Error(`no line ${label}`)
  return line
}

const firstNumberAfterColon = (line: string) => Number(/:\s*(-?[\d.eE+-]+)/.exec(line)?.[1])

export interface UnivariateSet {
  readonly mean: number
  readonly sd: number
  readonly lag1: number
  readonly values: readonly number[]
}

export function univariateSet(name: string): UnivariateSet {
  const lines = read(name)
  const rule = lines.findIndex((line) => /^-{5,}/.test(line))
  const values = lines
    .slice(rule + 1)
    .join(' ')
    .split(/\s+/)
    .filter((word) => word !== '')
    .map(Number)
  const n = Number(/Observations:\s*(\d+)/.exec(lines.join('\n'))?.[1])
  if (values.length !== n) throw new Error(`${name}: ${values.length} values, ${n} stated`)
  return {
    mean: firstNumberAfterColon(certified(lines, /^ *Sample Mean/)),
    sd: firstNumberAfterColon(certified(lines, /^ *Sample Standard Deviation/)),
    lag1: firstNumberAfterColon(certified(lines, /r\(1\):/)),
    values,
  }
}

export interface AnovaSet {
  readonly ssBetween: number
  readonly ssWithin: number
  readonly dfBetween: number
  readonly dfWithin: number
  readonly f: number
  readonly groups: readonly (readonly number[])[]
}

export function anovaSet(name: string): AnovaSet {
  const lines = read(name)
  const [, from, to] = /Data\s+\(lines (\d+) to (\d+)\)/.exec(lines.join('\n')) ?? []
  const rows = lines.slice(Number(from) - 1, Number(to)).map((line) => line.trim().split(/\s+/).map(Number))
  const numbers = (label: RegExp) => certified(lines, label).trim().split(/\s+/).slice(2).map(Number)
  const [dfBetween, ssBetween, , f] = numbers(/^Between/) as [number, number, number, number]
  const [dfWithin, ssWithin] = numbers(/^Within/) as [number, number]
  const groups = (rows[0] ?? []).map((_, column) => rows.map((row) => row[column] as number))
  if (groups.length !== dfBetween + 1 || groups.length * rows.length - groups.length !== dfWithin) {
    throw new Error(`${name}: the data do not have the stated degrees of freedom`)
  }
  return { ssBetween, ssWithin, dfBetween, dfWithin, f, groups }
}

/** Correct significant digits of a computed value, at most 15, as NIST counts them (log relative error). */
export function correctDigits(computed: number, certifiedValue: number): number {
  if (computed === certifiedValue) return 15
  return Math.min(15, -Math.log10(Math.abs(computed - certifiedValue) / Math.abs(certifiedValue)))
}
