import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, it } from 'vitest'
import { openOwnFolder } from '../../server/own-folder.ts'

let shared: string
beforeEach(() => {
  shared = join(mkdtempSync(join(tmpdir(), 'as-sintered-own-')), 'waiting')
})
afterEach(() => rmSync(join(shared, '..'), { recursive: true, force: true }))

it('is kept apart from that of another in the same process, and removed with what is in it', () => {
  const first = openOwnFolder(shared)
  writeFileSync(join(first.path, 'upload'), 'rows')
  const second = openOwnFolder(shared)
  expect(second.path).not.toBe(first.path)
  expect(existsSync(join(first.path, 'upload'))).toBe(true)
  first.close()
  expect(existsSync(first.path)).toBe(false)
  expect(existsSync(second.path)).toBe(true)
  second.close()
  expect(readdirSync(shared)).toEqual([])
})

it('goes with the next start once its process was killed, and not before', async () => {
  const child = spawn(
    process.execPath,
    [
      '--import',
      'tsx',
      '--input-type=module',
      '--eval',
      `const { openOwnFolder } = await import(${JSON.stringify(new URL('../../server/own-folder.ts', import.meta.url).href)})
       console.log(openOwnFolder(${JSON.stringify(shared)}).path)
       setInterval(() => undefined, 1000)`,
    ],
    { stdio: ['ignore', 'pipe', 'inherit'] },
  )
  try {
    const theirs = await firstLine(child)
    writeFileSync(join(theirs, 'upload'), 'rows')
    openOwnFolder(shared).close()
    expect(existsSync(join(theirs, 'upload'))).toBe(true)
    child.kill('SIGKILL')
    await once(child, 'exit')
    expect(existsSync(join(theirs, 'upload'))).toBe(true)
    const ours = openOwnFolder(shared)
    expect(readdirSync(shared)).toHaveLength(1)
    ours.close()
  } finally {
    child.kill('SIGKILL')
  }
})

it('finishes what another was killed in the middle of, and removes files that lay there by themselves', () => {
  // Half cleared away: the lock is gone already, a file is still there.
  mkdirSync(join(shared, 'of-halfway'), { recursive: true })
  writeFileSync(join(shared, 'of-halfway', 'upload'), 'rows')
  writeFileSync(join(shared, 'loose'), 'rows')
  const own = openOwnFolder(shared)
  expect(readdirSync(shared)).toHaveLength(1)
  own.close()
})

async function firstLine(child: ChildProcess): Promise<string> {
  let text = ''
  for await (const piece of child.stdout ?? []) {
    text += piece
    if (text.includes('\n')) break
  }
  return text.trim()
}
