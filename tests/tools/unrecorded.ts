import { openStore, type Store, type StoreLocation } from '../../server/store/store.ts'

/** The store with its transactions allowed to leave no entry in the record, for tests of single writes. */
export function unrecorded(store: Store): Store {
  return {
    ...store,
    write: (work, ...manner) =>
      store.write(
        async (writer) => {
          await writer.withoutEntry('single writes are tested')
          return await work(writer)
        },
        ...manner,
      ),
  }
}

/** `openStore`, with `unrecorded`. */
export async function openUnrecorded(location: StoreLocation): Promise<Store> {
  return unrecorded(await openStore(location))
}
