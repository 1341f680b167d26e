import type { Store } from '../store/store.ts'

/** Milliseconds after which waiting for the database is worth a word. */
const WORTH_A_WORD = 1000

/** The store, telling the person at the terminal when another program keeps it from writing. */
export function patientStore(store: Store, say: (line: string) => void): Store {
  return {
    ...store,
    async write(work, ...manner) {
      const timer = setTimeout(
        () => say('Another program is writing to the database. Waiting until it has finished …'),
        WORTH_A_WORD,
      )
      try {
        return await store.write(
          (writer) => {
            clearTimeout(timer)
            return work(writer)
          },
          ...manner,
        )
      } finally {
        clearTimeout(timer)
      }
    },
  }
}
