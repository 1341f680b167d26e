import type { Database, Statement } from 'better-sqlite3'

interface Count {
  readonly commits: number
  /** Those of them that wrote only what nothing is computed from. */
  readonly aside: number
}

/** Counts the commits to a file, so that each connection can tell of what kind those of the others were. */
export interface CommitCount {
  /** Count the transaction that is about to be committed. */
  add(isAside: boolean): void
  /**
   * @param version changes with every commit
   * @returns what changes with every commit but those aside. Where it is in doubt, as after a commit that was not
   * counted, it changes.
   */
  content(version: string): string
}

export function sqliteCommitCount(database: Database): CommitCount {
  // The table is there from its migration on.
  const statements = new Map<string, Statement>()
  const statement = (text: string) => {
    let known = statements.get(text)
    if (known === undefined) {
      known = database.prepare(text)
      statements.set(text, known)
    }
    return known
  }
  let seen: { readonly version: string; readonly count: Count | undefined } | null = null
  let content = ''
  return {
    add(isAside) {
      statement('update commit_count set commits = commits + 1, aside = aside + ?').run(isAside ? 1 : 0)
    },
    content(version) {
      if (seen?.version === version) return content
      // Read after the version: a commit in between counts as one more than the version tells of, and changes it twice.
      const count = statement('select commits, aside from commit_count').get() as Count | undefined
      const isAside =
        seen?.count !== undefined &&
        count !== undefined &&
        count.commits > seen.count.commits &&
        count.commits - seen.count.commits === count.aside - seen.count.aside
      seen = { version, count }
      if (!isAside) content = version
      return content
    },
  }
}
