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

const figure = (least: number, most: number, what: string) =>
  z.number({ error: `${what} is a number.` }).refine((value) => value >= least && value <= most, {
    error: `${what} lies between ${least} and ${most}.`,
  })

/** How shrinkage is fitted and advised; sizes by their designators. */
const settings = {
  adjustment: z.object({
    leastBuilds: figure(3, 1000, 'The number of builds').refine(Number.isInteger, {
      error: 'The number of builds is a whole number.',
    }),
    changeCost: figure(0, 100, 'What a change costs'),
    needlessCost: figure(0, 100, 'What a needless change costs'),
    largestStep: figure(0.0001, 0.1, 'The largest step'),
    newestWeight: figure(0, 0.99, 'The weight of the newest build').nullable(),
  }),
  /** Sizes that nothing is told of are left out. */
  told: z
    .array(
      z.object({
        designator: z.string(),
        along: z.enum(['X', 'Y', 'Z', 'XY', 'none']).nullable(),
        sense: z.union([z.literal(-1), z.literal(0), z.literal(1)]).nullable(),
        counts: z.boolean(),
      }),
    )
    .refine((told) => new Set(told.map(({ designator }) => designator)).size === told.length, {
      error: 'A characteristic stands in the list twice.',
    }),
}

export const settingsPreview = z.object(settings)

export const settingsDecision = z.object({
  ...settings,
  /** The version that was seen; 0 for the program's own settings. */
  version: z.number().int().min(0),
  reason: words(2000, 'why'),
  who: words(200, 'who decides'),
})

export const factorsTakenBack = z.object({
  reason: words(2000, 'why'),
  who: words(200, 'who takes it back'),
})

/** Scale factors decided on. */
export const factorDecision = z.object({
  ...factors,
  firstBuild: words(200, 'which build is printed with them first'),
  reason: words(2000, 'why'),
  who: words(200, 'who decides'),
  /** Number of the latest decision that was seen; null for none. */
  last: z.number().int().min(1).nullable(),
})
