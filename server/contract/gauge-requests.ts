import { z } from 'zod'

const words = (most: number, what: string) =>
  z
    .string()
    .trim()
    .min(1, { error: `Say ${what}.` })
    .max(most, { error: `Keep it below ${most} characters.` })

const day = (what: string) =>
  z.string().refine((text) => /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(Date.parse(text)), {
    error: `Give ${what} as a date such as 2026-09-30.`,
  })

const size = (what: string) =>
  z
    .number({ error: `${what} is a number.` })
    .positive({ error: `${what} is above 0.` })
    .max(1000, { error: `${what} is in the gauge’s unit, and not above 1000.` })

/** Something said of a gauge. */
export const gaugeEntry = z.object({
  kind: words(200, 'what kind of gauge it is'),
  unit: z.enum(['mm', 'in', 'um', 'deg'], { error: 'A unit is mm, in, um or deg.' }),
  resolution: size('A resolution').nullable(),
  certificate: z
    .object({
      number: z.string().trim().max(200, { error: 'Keep it below 200 characters.' }),
      expanded: size('An expanded uncertainty'),
      coverageFactor: z
        .number({ error: 'A coverage factor is a number such as 2.' })
        .min(1, { error: 'A coverage factor lies between 1 and 5; it is usually 2.' })
        .max(5, { error: 'A coverage factor lies between 1 and 5; it is usually 2.' }),
      date: day('the day of calibration'),
    })
    .nullable(),
  due: day('the day by which it is due').nullable(),
  characteristics: z.array(z.number().int().min(1)).max(2000),
  inUse: z.boolean(),
  reason: words(2000, 'why'),
  who: words(200, 'who says so'),
  /** The version that was seen; 0 for none. */
  version: z.number().int().min(0),
})

const name = words(200, 'a name')

/** Most readings that a plan may ask for. */
const MOST_READINGS = 6000

/** A study to be measured. */
export const gaugePlan = z
  .object({
    characteristic: z.number().int().min(1).nullable(),
    gauge: words(200, 'with which gauge').nullable(),
    parts: z.array(name).min(1, { error: 'Name the parts.' }).max(200, { error: 'At most 200 parts.' }),
    inspectors: z
      .array(name)
      .min(1, { error: 'Name the inspectors, or the machine.' })
      .max(30, { error: 'At most 30 inspectors.' }),
    trials: z
      .number()
      .int({ error: 'Trials are a whole number.' })
      .min(1, { error: 'At least one trial.' })
      .max(30, { error: 'At most 30 trials.' }),
    /** Null lets the server draw one. */
    seed: z.number().int().min(0).max(0xffff_ffff).nullable(),
    who: words(200, 'who plans it'),
  })
  .refine(({ parts }) => new Set(parts).size === parts.length, {
    error: 'Two parts have the same name.',
    path: ['parts'],
  })
  .refine(({ inspectors }) => new Set(inspectors).size === inspectors.length, {
    error: 'Two inspectors have the same name.',
    path: ['inspectors'],
  })
  .refine(({ parts, inspectors, trials }) => parts.length * inspectors.length * trials <= MOST_READINGS, {
    error: `A plan has at most ${MOST_READINGS} readings.`,
    path: ['trials'],
  })

/** How a study of spread is analysed. */
export const studyQuery = z.object({
  method: z.enum(['suited', 'restricted maximum likelihood']).default('suited'),
  interaction: z.enum(['tested', 'kept', 'pooled']).default('tested'),
  layout: z.enum(['crossed', 'nested']).default('crossed'),
})

const number = z.coerce.number().int().min(1)

export const studyNumber = z.object({ study: number })
export const planNumber = z.object({ plan: number })
