import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openTerminal, type TestTerminal } from './terminal.ts'

let terminal: TestTerminal
const person = (...args: string[]) => terminal.run('person', ...args)

beforeAll(() => {
  terminal = openTerminal()
})
afterAll(() => terminal.remove())

describe('a server bound to where others reach it', () => {
  it('does not start before an administrator is on record, and says how to put one there', async () => {
    const start = () => terminal.run('serve', '--host', '0.0.0.0', '--port', '0')
    expect(await start()).toBe(1)
    expect(terminal.written.err[0]).toContain('At 0.0.0.0 others could reach the program')
    expect(terminal.written.err[0]).toContain('person add NAME --role administrator')
    terminal.typed = 'three kilns by the river'
    expect(await person('add', 'Ines Quark', '--role', 'inspector')).toBe(0)
    expect(await start()).toBe(1)
  })
})

describe('a person', () => {
  it('is put on record with a role and a password that was typed', async () => {
    expect(await person('add', 'Ada Root', '--role', 'administrator')).toBe(0)
    expect(terminal.written.out).toEqual(['Ada Root is on record as administrator.'])
    expect(await person('list')).toBe(0)
    expect(terminal.written.out).toEqual(['Ada Root\tadministrator', 'Ines Quark\tinspector'])
  })

  it('is not put on record twice, nor with a password that is guessed', async () => {
    expect(await person('add', 'ada root', '--role', 'inspector')).toBe(1)
    expect(terminal.written.err[0]).toMatch(/is, or was, somebody named ada root/)
    terminal.typed = ''
    expect(await person('add', 'Bea', '--role', 'inspector')).toBe(1)
    expect(terminal.written.err[0]).toMatch(/at least 12/)
  })

  it('gets a new password', async () => {
    terminal.typed = 'four kilns by the sea'
    expect(await person('password', 'ADA ROOT')).toBe(0)
    expect(terminal.written.out[0]).toMatch(/password of Ada Root is set/)
    expect(await person('password', 'Nemo')).toBe(1)
  })

  it.each([
    [['add', 'Bea']],
    [['add', 'Bea', '--role', 'chief']],
    [['add', '--role', 'inspector']],
    [['add', 'Bea', 'a password', '--role', 'inspector']],
    [['add', ' ', '--role', 'inspector']],
    [['list', 'Bea']],
    [['burn', 'Bea']],
    [['password', 'Bea', '--role', 'inspector']],
  ])('command with %j says how it is used', async (args) => {
    expect(await person(...args)).toBe(1)
    expect(terminal.written.err[0]).toContain('person add NAME --role ROLE')
  })
})
