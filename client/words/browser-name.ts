/** Systems by what a browser says of itself, the more telling first. */
const SYSTEMS: readonly (readonly [RegExp, string])[] = [
  [/iPad|iPhone/, 'iOS'],
  [/Android/, 'Android'],
  [/Windows/, 'Windows'],
  [/Mac OS X|Macintosh/, 'macOS'],
  [/Linux/, 'Linux'],
]

/** What a browser calls itself, in a word or two: its engine's family and its system; as it is where none is known. */
export function browserName(says: string): string {
  const system = SYSTEMS.find(([pattern]) => pattern.test(says))?.[1]
  if (system === undefined) return says === '' ? 'not said' : says.slice(0, 40)
  const family = /Firefox\/(\d+)/.test(says)
    ? 'Gecko'
    : /Chrome\/(\d+)/.test(says)
      ? 'Chromium'
      : /AppleWebKit/.test(says)
        ? 'WebKit'
        : 'a browser'
  return `${family} on ${system}`
}
