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
