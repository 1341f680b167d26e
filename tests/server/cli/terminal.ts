import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { runCommand } from '../../../server/cli/run-command.ts'

/** A terminal that remembers what was written to it, with a data folder of its own. */
export interface TestTerminal {
  readonly folder: string
  readonly data: string
  readonly written: { out: string[]; err: string[] }
  /** What is typed where a secret is asked for; the last stays. */
  typed: string
  run(...args: string[]): Promise<number | null>
  remove(): void
}

export function openTerminal(): TestTerminal {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-cli-'))
  const data = join(folder, 'data')
  const written = { out: [] as string[], err: [] as string[] }
  const terminal: TestTerminal = {
    folder,
    data,
    written,
    typed: '',
    run(...args) {
      written.out = []
      written.err = []
      return runCommand(args, {
        environment: { AS_SINTERED_DATA: data },
        out: (line) => written.out.push(line),
        err: (line) => written.err.push(line),
        secret: async () => terminal.typed,
      })
    },
    remove: () => rmSync(folder, { recursive: true, force: true }),
  }
  return terminal
}
