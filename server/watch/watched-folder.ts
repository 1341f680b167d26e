import { createReadStream } from 'node:fs'
import { lstat, readdir } from 'node:fs/promises'
import { join } from 'node:path'
import { now } from '../clock.ts'
import type { ImportChoices, Receipt } from '../contract/receipt.ts'
import { blankReceipt } from '../intake/blank-receipt.ts'
import { FileProblemError } from '../intake/faults.ts'
import type { Intake } from '../intake/jobs.ts'
import { naturalOrder } from '../store/natural-order.ts'
import { putAway } from './put-away.ts'

/** What is done with a file that nobody can be asked about. */
export interface Unattended {
  /** The good rows of a file are taken where others are refused; otherwise all of it is refused. */
  readonly takeGoodRows: boolean
  /** Values that may be slips are kept as measured; otherwise the file is refused with its doubts on the receipt. */
  readonly keepDoubtful: boolean
}

export interface WatchedFolderOptions {
  readonly folder: string
  /** Refuses whatever is not clear unless said otherwise. Questions, such as the order of a date, are never guessed. */
  readonly unattended?: Unattended
  readonly intake: Pick<Intake, 'accept' | 'cancel' | 'finished'>
  /** Told in one line what was done, and what stands in the way; console.log unless said otherwise. */
  readonly say?: (line: string) => void
}

/** A folder whose files are taken in when they have stopped growing, and moved to `done` or `refused` in it. */
export interface WatchedFolder {
  /**
   * Look once: take in every file that is as it was at the look before. Calls wait for one another. Whatever
   * cannot be read is left where it is, said once, and tried again.
   */
  look(): Promise<void>
  /** Look again and again, with so many milliseconds in between. */
  start(every: number): void
  /** No look begins after this; resolves once the one under way has ended. */
  stop(): Promise<void>
}

const CHOICES: ImportChoices = {
  who: 'watched folder',
  takeGoodRows: false,
  convertUnits: false,
  partNumber: null,
  revision: null,
}

/** Names that programs give to files that are not finished, or that are nobody's results. */
const NOT_RESULTS = /^[.~]|\.(part|partial|tmp|crdownload|filepart)$|^(thumbs\.db|desktop\.ini)$/i

/** How a file stood at a look. Equal twice: nobody is writing it. */
interface Standing {
  readonly size: number
  readonly modified: number
  readonly inode: number
}

/**
 * Files are found by looking, not by notices of the file system, which do not come from network drives.
 */
export function watchFolder({
  folder,
  intake,
  unattended = { takeGoodRows: false, keepDoubtful: false },
  say = console.log,
}: WatchedFolderOptions): WatchedFolder {
  const choices: ImportChoices = {
    ...CHOICES,
    takeGoodRows: unattended.takeGoodRows,
    ...(unattended.keepDoubtful ? { doubts: { all: 'keep' } } : {}),
  }
  let seen = new Map<string, Standing>()
  const said = new Map<string, string>()
  let last: Promise<void> = Promise.resolve()
  let timer: NodeJS.Timeout | null = null
  let stopped = false

  function sayOnce(about: string, line: string): void {
    if (said.get(about) === line) return
    said.set(about, line)
    say(line)
  }

  async function lookOnce(): Promise<void> {
    let names: string[]
    try {
      names = await readdir(folder)
      said.delete(folder)
    } catch (error) {
      sayOnce(folder, `The watched folder cannot be read and is tried again: ${(error as Error).message}`)
      return
    }
    const now = new Map<string, Standing>()
    for (const name of names) {
      if (NOT_RESULTS.test(name)) continue
      const standing = await standingOf(join(folder, name))
      if (standing !== null) now.set(name, standing)
    }
    for (const name of said.keys()) if (name !== folder && !now.has(name)) said.delete(name)
    const settled = [...now].filter(([name, standing]) => isSame(seen.get(name), standing))
    seen = now
    // What was written first comes first: a file of characteristics before the measurements that need it.
    settled.sort(([a, x], [b, y]) => x.modified - y.modified || naturalOrder(a, b))
    for (const [name, standing] of settled) {
      if (stopped) return
      await takeOne(name, standing)
    }
  }

  async function takeOne(name: string, standing: Standing): Promise<void> {
    const path = join(folder, name)
    try {
      const receipt = await receiptOf(path, name, standing)
      // Written to after all, or the program is stopping: the file stays for another look.
      if (receipt === null || receipt.verdict === 'cancelled') return
      const refused = receipt.verdict === 'refused' || receipt.verdict === 'asking'
      const moved = await putAway(path, join(folder, refused ? 'refused' : 'done'), receipt)
      seen.delete(name)
      said.delete(name)
      say(
        refused
          ? `Refused ${name}; the receipt says why: ${moved}.receipt.txt`
          : `${receipt.verdict === 'known' ? 'Known already' : `Took in ${receipt.rowsTaken} rows`}: ${name}`,
      )
    } catch (error) {
      sayOnce(name, `${name} could not be taken in and is tried again: ${(error as Error).message}`)
    }
  }

  async function receiptOf(path: string, name: string, standing: Standing): Promise<Receipt | null> {
    let job: string
    try {
      job = await intake.accept(createReadStream(path), name, choices)
    } catch (error) {
      if (error instanceof FileProblemError) return refusal(name, standing.size, error)
      throw error
    }
    if (!isSame(await standingOf(path), standing)) {
      intake.cancel(job)
      await intake.finished(job)
      return null
    }
    return await intake.finished(job)
  }

  const look = (): Promise<void> => {
    if (stopped) return last
    last = last.then(lookOnce)
    return last
  }

  return {
    look,
    start(every) {
      const again = () => {
        timer = setTimeout(() => void look().then(() => stopped || again()), every)
      }
      again()
    },
    async stop() {
      stopped = true
      if (timer !== null) clearTimeout(timer)
      await last
    },
  }
}

/** Null where there is no plain file at the path. Links are not followed: they may lead anywhere. */
async function standingOf(path: string): Promise<Standing | null> {
  try {
    const found = await lstat(path)
    return found.isFile() ? { size: found.size, modified: found.mtimeMs, inode: found.ino } : null
  } catch {
    return null
  }
}

function isSame(before: Standing | undefined | null, now: Standing): boolean {
  return (
    before !== undefined &&
    before !== null &&
    before.size === now.size &&
    before.modified === now.modified &&
    before.inode === now.inode
  )
}

/** The receipt of a file that the intake would not receive at all. */
function refusal(fileName: string, bytes: number, { problem }: FileProblemError): Receipt {
  const at = now()
  return blankReceipt({ verdict: 'refused', fileName, sha256: '', bytes, problem, who: CHOICES.who, at })
}
