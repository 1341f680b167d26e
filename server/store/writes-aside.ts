import type { Writer } from './writer.ts'

/**
 * Functions of the writer whose writing enters into nothing that is computed and kept (`kept.ts`): the signals on a
 * receipt, which follow from what is on record already, and that a session is used.
 */
const ASIDE: ReadonlySet<PropertyKey> = new Set<keyof Writer>(['noteSignals', 'seeSession', 'withoutEntry'])

/**
 * A writer that notes what is used of it.
 *
 * @returns with it, whether nothing was used but what is written aside; a function that is not named above never is
 */
export function notingWriter(writer: Writer): { readonly writer: Writer; readonly isAside: () => boolean } {
  let isAside = true
  return {
    writer: new Proxy(writer, {
      get(target, name) {
        if (!ASIDE.has(name)) isAside = false
        return target[name as keyof Writer]
      },
    }),
    isAside: () => isAside,
  }
}
