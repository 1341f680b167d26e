import { z } from 'zod'

/** What every refused request is answered with: what is wrong, where, and what to do next. */
export const problemAnswer = z.object({
  error: z.object({ what: z.string(), where: z.string().nullable(), next: z.string() }),
})

export type Problem = Readonly<z.infer<typeof problemAnswer>['error']>
