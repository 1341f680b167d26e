const collator = new Intl.Collator('en', { numeric: true, sensitivity: 'variant' })

/** Order of names as people count: "2" before "10", "B-9" before "B-10". Digits are compared as numbers. */
export function naturalOrder(a: string, b: string): number {
  return collator.compare(a, b)
}
