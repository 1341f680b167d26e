import { Hono } from 'hono'
import { describe, expect, it } from 'vitest'
import { OPEN_ENTRANCE } from '../../../server/access/connection.ts'
import { knownNames, sameSite } from '../../../server/access/same-site.ts'
import { readOptions } from '../../../server/options.ts'
import { answerError } from '../../../server/problem.ts'

describe('requests that a page of another site sends', () => {
  const app = new Hono().use(sameSite()).all('*', (c) => c.text('done'))
  app.onError(answerError)
  const status = async (method: string, headers: Record<string, string>) =>
    (
      await app.request('http://sinter.example/api/x', {
        method,
        headers: { Host: 'sinter.example', ...headers },
      })
    ).status

  it.each([
    ['a browser says so', { 'Sec-Fetch-Site': 'cross-site' }],
    ['it is a neighbour', { 'Sec-Fetch-Site': 'same-site' }],
    ['its origin is another', { Origin: 'https://evil.example' }],
    ['its origin is another port', { Origin: 'http://sinter.example:8080' }],
    ['its origin is hidden', { Origin: 'null' }],
    ['what it says cannot be true', { 'Sec-Fetch-Site': 'cross-site', Origin: 'http://sinter.example' }],
  ])('are refused where %s', async (_, headers) => {
    for (const method of ['GET', 'POST', 'PUT', 'DELETE', 'OPTIONS'])
      expect(await status(method, headers)).toBe(403)
  })

  it.each([
    ['a page of the program', { 'Sec-Fetch-Site': 'same-origin', Origin: 'http://sinter.example' }],
    ['the address bar', { 'Sec-Fetch-Site': 'none' }],
    ['a program', {}],
    ['a browser that says only its origin', { Origin: 'http://sinter.example' }],
    ['a browser before a proxy', { Origin: 'https://SINTER.example' }],
  ])('are told from those of %s', async (_, headers) => {
    for (const method of ['GET', 'POST', 'DELETE']) expect(await status(method, headers)).toBe(200)
  })

  it('may be followed to as a link, and not be shown in a frame or sent as a form', async () => {
    const link = {
      'Sec-Fetch-Site': 'cross-site',
      'Sec-Fetch-Mode': 'navigate',
      'Sec-Fetch-Dest': 'document',
    }
    expect(await status('GET', link)).toBe(200)
    expect(await status('POST', link)).toBe(403)
    expect(await status('GET', { ...link, 'Sec-Fetch-Dest': 'iframe' })).toBe(403)
  })
})

describe('names of the site', () => {
  const served = (...args: string[]) => {
    const app = new Hono().use(knownNames(readOptions(args, {}).entrance)).all('*', (c) => c.text('done'))
    app.onError(answerError)
    return async (host: string) => (await app.request('/', { headers: { Host: host } })).status
  }

  it('are its own at this machine, so that no other name can be made to lead here', async () => {
    const status = served()
    for (const host of ['localhost:4180', '127.0.0.1:4180', '127.0.0.1', '[::1]:4180', 'LOCALHOST'])
      expect(await status(host), host).toBe(200)
    for (const host of [
      'evil.example:4180',
      '127.0.0.1.evil.example',
      'localhost.evil.example',
      '192.0.2.7:4180',
    ])
      expect(await status(host), host).toBe(421)
  })

  it('are added with --site', async () => {
    const status = served('--site', 'sinter.example, spc.shop.example')
    for (const host of ['sinter.example', 'SPC.shop.example:443', 'localhost:4180'])
      expect(await status(host), host).toBe(200)
    expect(await status('evil.example')).toBe(421)
  })

  it('are any elsewhere, unless they are given', async () => {
    expect(await served('--host', '0.0.0.0')('sinter.example')).toBe(200)
    const status = served('--host', '0.0.0.0', '--site', 'sinter.example')
    expect(await status('sinter.example:4180')).toBe(200)
    expect(await status('localhost:4180')).toBe(421)
    expect(OPEN_ENTRANCE.names).toBeNull()
  })
})
