import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { Hono } from 'hono'
import { describe, expect, it } from 'vitest'
import { z } from 'zod'
import type { Caller } from '../../../server/access/caller.ts'
import { doingOf, signed, signerOf } from '../../../server/access/signer.ts'

const server = fileURLToPath(new URL('../../../server', import.meta.url))
const sources = (folder: string) =>
  readdirSync(join(server, folder))
    .filter((name) => name.endsWith('.ts'))
    .map((name) => join(server, folder, name))

describe('the name on record', () => {
  const nameOf = async (caller: Caller) => {
    const app = new Hono().get('/', (c) => {
      c.set('caller', caller)
      return c.json([signerOf(c, 'said'), signed(c, { who: 'said', build: 'B1' }), doingOf(c).who])
    })
    return await (await app.request('/')).json()
  }

  it('is that of whoever is signed in, and what is said only where nobody is', async () => {
    const person = { kind: 'person', id: 1, name: 'Ada', role: 'inspector', session: 1 } as const
    expect(await nameOf(person)).toEqual(['Ada', { who: 'Ada', build: 'B1' }, 'Ada'])
    const machine = { kind: 'machine', name: 'press 2', scopes: [] } as const
    expect(await nameOf(machine)).toEqual(['press 2', { who: 'press 2', build: 'B1' }, 'press 2'])
    expect(await nameOf({ kind: 'single user' })).toEqual(['said', { who: 'said', build: 'B1' }, null])
  })

  it('is never read from a request but through signed() or doingOf()', async () => {
    const schemas = new Map<string, unknown>()
    for (const file of sources('contract')) {
      for (const [name, value] of Object.entries((await import(file)) as object)) schemas.set(name, value)
    }
    const asksWho = (name: string) => {
      const schema = schemas.get(name)
      return schema instanceof z.ZodObject && 'who' in schema.shape
    }
    // So that the search itself is seen to find something.
    expect(asksWho('newRemark')).toBe(true)
    expect(asksWho('stageQuery')).toBe(false)
    let checked = 0
    for (const file of sources('routes')) {
      const text = readFileSync(file, 'utf8')
      const last = new Map<string, string>()
      const uses = /validated\(\s*'(\w+)',\s*(\w+)\s*,?\s*\)|(signed\(\s*c,\s*)?c\.req\.valid\('(\w+)'\)/g
      for (const [, checkedPart, schema, wrapped, part] of text.matchAll(uses)) {
        if (checkedPart !== undefined && schema !== undefined) last.set(checkedPart, schema)
        if (part === undefined || !asksWho(last.get(part) ?? '')) continue
        checked++
        const throughDoing = /doingOf\(c, \w+\)/.test(text)
        expect(wrapped !== undefined || throughDoing, `${file}: ${last.get(part)}`).toBe(true)
      }
    }
    expect(checked).toBeGreaterThan(10)
  })
})
