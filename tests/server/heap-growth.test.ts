import { spawnSync } from 'node:child_process'
import { describe, expect, it } from 'vitest'

/** A process that limits the growth of its heap before anything else, as the program does. */
function starting(flag: string | null) {
  const file = new URL('../../server/heap-growth.ts', import.meta.url).href
  const program = `
    const { limitHeapGrowth } = await import(${JSON.stringify(file)})
    limitHeapGrowth(${flag === null ? '' : JSON.stringify(flag)})
    console.log('goes on')`
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ['--import', 'tsx', '--input-type=module', '--eval', program],
    { encoding: 'utf8' },
  )
  return { status, stdout, stderr }
}

describe('the growth of the heap', () => {
  it('is limited by a flag that this engine knows', () => {
    expect(starting(null)).toEqual({ status: 0, stdout: 'goes on\n', stderr: '' })
  })

  it('is as the engine has it where the flag is unknown, and the program starts all the same', () => {
    const { status, stdout, stderr } = starting('--no-such-flag-of-any-engine=50')
    expect([status, stdout]).toEqual([0, 'goes on\n'])
    expect(stderr).toContain('no-such-flag-of-any-engine')
  })
})
