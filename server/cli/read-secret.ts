import { createInterface } from 'node:readline'
import { Writable } from 'node:stream'

/**
 * One line that is not shown while it is typed; where the input is no keyboard, its first line.
 *
 * @returns what was given, without the end of the line; empty where the input ended before
 */
export function readSecret(prompt: string): Promise<string> {
  const { stdin, stderr } = process
  const terminal = stdin.isTTY === true
  if (terminal) stderr.write(prompt)
  // The editing of the line works; what it would show goes nowhere.
  const nowhere = new Writable({ write: (_chunk, _encoding, done) => done() })
  const lines = createInterface({ input: stdin, output: nowhere, terminal })
  return new Promise((resolve) => {
    let line = ''
    lines.once('line', (given) => {
      line = given
      lines.close()
    })
    lines.once('SIGINT', () => process.exit(130))
    lines.once('close', () => {
      if (terminal) stderr.write('\n')
      stdin.pause()
      resolve(line)
    })
  })
}
