/** Value at x of the polynomial with these coefficients, highest power first, by Horner's scheme. */
export function polynomial(coefficients: Float64Array, x: number): number {
  let value = 0
  for (let i = 0; i < coefficients.length; i++) value = value * x + (coefficients[i] as number)
  return value
}
