import { z } from 'zod'

/** A scale factor of a print: 1.18 for one that is 18 % larger. */
const factor = z.coerce
  .number({ error: 'A scale factor is a number such as 1.1850.' })
  .refine((value) => value >= 1 && value <= 1.6, {
    error: 'A scale factor lies between 1 and 1.6: 1.18 enlarges the print by 18 %.',
  })

const factors = { x: factor, y: factor, z: factor }

export const factorsQuery = z.object(factors)

const words = (most: number, what: string) =>
  z
    .string()
    .trim()
    .min(1, { error: `Say ${what}.` })
    .max(most, { error: `Keep it below ${most} characters.` })

/** Scale factors decided on. */
export const factorDecision = z.object({
  ...factors,
  firstBuild: words(200, 'which build is printed with them first'),
  reason: words(2000, 'why'),
  who: words(200, 'who decides'),
  /** Number of the latest decision that was seen; null for none. */
  last: z.number().int().min(1).nullable(),
})
