import fc from 'fast-check'

/**
 * Properties are tested on the same cases in every run, so that a failure is of the change and not of chance.
 * `PROPERTY_SEED=random` takes new cases, another number those of that number.
 */
const asked = process.env.PROPERTY_SEED ?? '20260721'
if (asked !== 'random') fc.configureGlobal({ seed: Number(asked) })
