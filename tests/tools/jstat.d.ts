/** What the tests use of jstat, which comes without types. */
declare module 'jstat' {
  interface Distribution {
    cdf(x: number, ...parameters: number[]): number
    inv(p: number, ...parameters: number[]): number
  }
  export const jStat: Readonly<
    Record<'normal' | 'studentt' | 'chisquare' | 'centralF' | 'noncentralt', Distribution>
  >
}
