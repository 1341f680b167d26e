/** A database written by a later version of the program, which this one must not touch. */
export class NewerDatabaseError extends Error {
  override readonly name: string = 'NewerDatabaseError'
  readonly found: number
  readonly known: number

  constructor(found: number, known: number) {
    super(
      `The database has schema version ${found}, but this program knows versions up to ${known} only. ` +
        'Start the version of the program that last opened it, or a later one. Nothing was changed.',
    )
    this.found = found
    this.known = known
  }
}

/** A transaction met what another one did at the same time; alone, it may succeed. */
export class CollisionError extends Error {
  override readonly name: string = 'CollisionError'
}

/** A transaction that wrote something of which the record would say nothing. It is a fault of the program. */
export class UnrecordedWriteError extends Error {
  override readonly name: string = 'UnrecordedWriteError'

  constructor() {
    super(
      'Something was written without an entry in the record, so it was not kept. ' +
        'Functions that write have to append one: see server/store/record/recorder.ts.',
    )
  }
}

/** A row that refers to one that is not there. */
export class MissingRowError extends Error {
  override readonly name: string = 'MissingRowError'

  constructor(table: string, id: number) {
    super(`There is no ${table} with identity ${id}, which a measurement refers to.`)
  }
}

/** A database server that cannot be reached, or does not let the program in. */
export class DatabaseUnreachableError extends Error {
  override readonly name: string = 'DatabaseUnreachableError'

  /** @param server host and database, without a password */
  constructor(server: string, cause: unknown) {
    const reason = cause instanceof AggregateError ? cause.errors.map(String).join('; ') : String(cause)
    super(
      `The database at ${server} cannot be opened (${reason}). ` +
        'Check that its server runs, and the address, user and password in the connection.',
      { cause },
    )
  }
}

/** Another program has been writing for longer than anyone should wait. */
export class BusyDatabaseError extends Error {
  override readonly name: string = 'BusyDatabaseError'

  constructor() {
    super('Another program is still writing to the database. Nothing was changed.')
  }
}

/** A database file that is not as it was written: a disk failed, or something else wrote into it. */
export class DamagedDatabaseError extends Error {
  override readonly name: string = 'DamagedDatabaseError'

  /** @param fault what SQLite says */
  constructor(file: string, fault: string) {
    super(
      `The database ${file} is damaged (${fault}). The program does not open it, so that nothing is made worse.\n` +
        'Keep a copy of the file as it is, then restore the last backup into an empty folder:\n\n' +
        '  node dist/node/server/main.js restore BACKUP --data EMPTY-FOLDER\n\n' +
        'and bring the files again that came since. Have the disk looked at.',
    )
  }
}
