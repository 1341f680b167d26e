import { type ChildProcess, spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'

const root = fileURLToPath(new URL('../..', import.meta.url))

/** @param program command that starts the program with further options behind it */
export function startProgram([command = '', ...args]: readonly string[], folder: string): ChildProcess {
  return spawn(command, [...args, '--data', folder, '--port', '0'], {
    cwd: root,
    stdio: ['ignore', 'pipe', 'ignore'],
    env: { ...process.env, AS_SINTERED_LOG_LEVEL: 'error' },
  })
}

/** The address that the program prints once it listens. */
export function addressOf(server: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let printed = ''
    server.stdout?.on('data', (chunk: Buffer) => {
      printed += chunk.toString()
      const found = /http:\/\/[^\s/]+/.exec(printed)
      if (found !== null) resolve(found[0])
    })
    server.once('exit', (code) => reject(new Error(`the program ended with ${code}: ${printed}`)))
  })
}
