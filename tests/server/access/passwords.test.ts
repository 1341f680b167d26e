import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { hashPassword, passwordFault, passwordMatches } from '../../../server/access/passwords.ts'

const reference = JSON.parse(
  readFileSync(new URL('../../reference/access/scrypt.json', import.meta.url), 'utf8'),
) as { cases: { password: string; kept: string }[] }

describe('a password', () => {
  it.each(reference.cases)(
    '“$password” is known again by what Python kept of it',
    async ({ password, kept }) => {
      expect(await passwordMatches(password, kept)).toBe(true)
      expect(await passwordMatches(`${password} `, kept)).toBe(false)
    },
  )

  it('is kept as scheme, cost, 128 bits of salt and 256 bits of key, never the same twice', async () => {
    const [first, second] = await Promise.all([
      hashPassword('a long sentence'),
      hashPassword('a long sentence'),
    ])
    expect(first).toMatch(/^scrypt:32768:8:3:[\w-]{22}:[\w-]{43}$/)
    expect(first).not.toBe(second)
    expect(await passwordMatches('a long sentence', first)).toBe(true)
  })

  it('is the same however the keyboard composes its characters', async () => {
    const kept = await hashPassword('U\u0308ber den O\u0308fen')
    expect(await passwordMatches('Über den Öfen', kept)).toBe(true)
  })

  it('that nobody has matches nothing', async () => {
    expect(await passwordMatches('a long sentence', null)).toBe(false)
    await expect(passwordMatches('a', 'md5:1:2:3:4:5')).rejects.toThrow(/kept in a way/)
  })

  it.each([
    ['elevenchars', /at least 12/],
    ['x'.repeat(201), /at most 200/],
    ['abcabcabcabc', /so few different/],
    ['Ines Quark 12', /made of the name/],
    ['inesquarkinesquark', /made of the name/],
  ])('“%s” will not do', (password, reason) => {
    expect(passwordFault(password, 'Ines Quark')).toMatch(reason)
  })

  it.each(['twelve chars', 'six blue kilns sing', '測定測定した部品は十二字'])('“%s” will do', (password) => {
    expect(passwordFault(password, 'Ines Quark')).toBeNull()
  })

  it('is not looked at where too many are at once, and those in line are', async () => {
    const all = await Promise.allSettled(
      Array.from({ length: 34 }, () => passwordMatches('x', 'scrypt:16:8:1:AAAA:AAAA')),
    )
    // A key of three bytes is none: whoever was in line was looked at, and the rest were sent away.
    const away = all.filter(
      (each) => each.status === 'rejected' && /Too many people/.test(String(each.reason.message)),
    )
    expect(away).toHaveLength(2)
  })
})
