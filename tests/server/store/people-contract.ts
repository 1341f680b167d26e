import { beforeEach, describe, expect, it } from 'vitest'
import type { Report } from '../../../server/contract/report.ts'
import { LastAdministratorError } from '../../../server/store/people.ts'
import type { Store } from '../../../server/store/store.ts'

const doing = { at: 1_790_000_000, who: 'Ada' }
const hash = (digit: string) => digit.repeat(64)

/**
 * What every store must do for people, sessions and links.
 *
 * @param filled the store with a part number 1 in it, and nobody on record
 */
export function peopleContract(filled: () => Promise<Store>): void {
  describe('people', () => {
    let store: Store
    beforeEach(async () => {
      store = await filled()
    })
    const add = (
      name: string,
      password: string | null = 'a hash',
      role: 'administrator' | 'inspector' = 'administrator',
    ) => store.write((writer) => writer.addPerson({ name, role, password }, doing))

    it('are nobody at first', async () => {
      expect(await store.people()).toEqual([])
      expect(await store.hasPeople()).toBe(false)
      expect(await store.hasAdministrator()).toBe(false)
      expect(await store.personNamed('Ada')).toBeNull()
      expect(await store.person(1)).toBeNull()
    })

    it('are found by name, however it is spaced and capitalised, and each name is given once', async () => {
      expect(await add('Zoë Quark')).toBe(1)
      expect(await add('zoë  quark')).toBeNull()
      // Composed of two characters where the other is one.
      expect(await store.personNamed(' ZOE\u0308 QUARK ')).toEqual({
        id: 1,
        name: 'Zoë Quark',
        role: 'administrator',
        createdAt: doing.at,
        disabledAt: null,
        hasPassword: true,
        password: 'a hash',
      })
      expect(await add('Ada', null)).toBe(2)
      expect((await store.people()).map(({ name, hasPassword }) => [name, hasPassword])).toEqual([
        ['Ada', false],
        ['Zoë Quark', true],
      ])
    })

    it('always keep an administrator who can sign in', async () => {
      await add('Ada')
      await add('Bea', null)
      await add('Cleo', 'a hash', 'inspector')
      const change = () => store.write((writer) => writer.changeRole(1, 'inspector', doing))
      const disable = () => store.write((writer) => writer.disablePerson(1, doing))
      await expect(change()).rejects.toThrow(LastAdministratorError)
      await expect(disable()).rejects.toThrow(LastAdministratorError)
      await store.write((writer) => writer.setPassword(2, 'another hash', doing))
      await disable()
      expect(await store.person(1)).toMatchObject({ disabledAt: doing.at, role: 'administrator' })
      await expect(store.write((writer) => writer.disablePerson(2, doing))).rejects.toThrow(
        LastAdministratorError,
      )
      await store.write((writer) => writer.enablePerson(1, doing))
      await change()
      expect(await store.person(1)).toMatchObject({ disabledAt: null, role: 'inspector' })
    })

    it('choose a password by the latest link, once, until it expires', async () => {
      await add('Ada')
      await add('Bea', null)
      const link = (digit: string, expiresAt: number) =>
        store.write((writer) => writer.addPasswordLink(2, hash(digit), expiresAt, doing))
      const use = (digit: string, at: number) =>
        store.write(async (writer) => {
          const person = await writer.usePasswordLink(hash(digit), at)
          if (person !== null) await writer.setPassword(person, 'chosen', { at, who: 'Bea' })
          return person
        })
      await link('1', doing.at + 100)
      await link('2', doing.at + 100)
      expect(await store.personOfPasswordLink(hash('1'), doing.at)).toBeNull()
      expect(await store.personOfPasswordLink(hash('2'), doing.at + 99)).toMatchObject({ name: 'Bea' })
      expect(await use('2', doing.at + 100)).toBeNull()
      expect(await use('2', doing.at + 99)).toBe(2)
      expect(await use('2', doing.at + 99)).toBeNull()
      expect(await store.personNamed('Bea')).toMatchObject({ password: 'chosen' })
      await link('3', doing.at + 100)
      await store.write((writer) => writer.disablePerson(2, doing))
      expect(await store.personOfPasswordLink(hash('3'), doing.at)).toBeNull()
    })

    it('are signed in until the session is over, unused for long, or ended', async () => {
      await add('Ada')
      await add('Bea')
      const begin = (digit: string, person: number, address = '192.0.2.7') =>
        store.write((writer) =>
          writer.addSession({
            sha256: hash(digit),
            whose: { person, name: 'Bea' },
            at: doing.at,
            expiresAt: doing.at + 100,
            address,
            browser: 'a browser',
          }),
        )
      expect(await begin('1', 2)).toBe(1)
      const session = (digit: string, at: number, seenSince: number) =>
        store.session(hash(digit), at, seenSince)
      expect(await session('1', doing.at + 99, doing.at)).toEqual({
        id: 1,
        startedAt: doing.at,
        seenAt: doing.at,
        expiresAt: doing.at + 100,
        address: '192.0.2.7',
        browser: 'a browser',
        holder: { kind: 'person', id: 2, name: 'Bea', role: 'administrator' },
      })
      expect(await session('2', doing.at, 0)).toBeNull()
      expect(await session('1', doing.at + 100, doing.at)).toBeNull()
      expect(await session('1', doing.at + 50, doing.at + 1)).toBeNull()
      await store.write((writer) => writer.seeSession(1, doing.at + 40))
      expect(await session('1', doing.at + 50, doing.at + 1)).toMatchObject({ seenAt: doing.at + 40 })
      expect(await store.hasSignedInFrom(2, '192.0.2.7')).toBe(true)
      expect(await store.hasSignedInFrom(2, '192.0.2.8')).toBe(false)
      expect(await store.hasSignedInFrom(1, '192.0.2.7')).toBe(false)

      await begin('2', 2)
      await begin('3', 2)
      const open = async () => (await store.sessionsOf(2, doing.at, 0)).map(({ id }) => id)
      expect(await open()).toEqual([3, 2, 1])
      // Somebody else's is not theirs to end.
      expect(await store.write((writer) => writer.endSession(1, doing, 1))).toBe(false)
      expect(await store.write((writer) => writer.endSession(1, doing, 2))).toBe(true)
      expect(await store.write((writer) => writer.endSession(1, doing))).toBe(false)
      expect(await open()).toEqual([3, 2])
      await store.write(async (writer) => {
        await writer.setPassword(2, 'another', doing)
        await writer.endSessionsOf(2, doing.at, 3)
      })
      expect(await open()).toEqual([3])
      await store.write((writer) => writer.disablePerson(2, doing))
      expect(await session('3', doing.at, 0)).toBeNull()
    })

    it('give links to guests, good for one report until they expire or are taken back', async () => {
      await store.write((writer) =>
        writer.addReport(
          1,
          (number) =>
            ({
              kind: 'as-sintered report',
              version: 1,
              number,
              madeAt: doing.at,
              madeBy: 'Ada',
              fingerprint: 'f'.repeat(64),
              content: { settings: { title: 'Capability' } },
            }) as unknown as Report,
        ),
      )
      const link = { report: 1, givenTo: 'Cleo', who: 'Ada', madeAt: doing.at, expiresAt: doing.at + 100 }
      expect(await store.write((writer) => writer.addGuestLink(hash('1'), link))).toBe(1)
      expect(await store.guestLink(hash('1'), doing.at + 99)).toEqual({ id: 1, ...link, revokedAt: null })
      expect(await store.guestLink(hash('1'), doing.at + 100)).toBeNull()
      expect(await store.guestLink(hash('2'), doing.at)).toBeNull()
      await store.write((writer) =>
        writer.addSession({
          sha256: hash('8'),
          whose: { guestLink: 1, name: 'Cleo' },
          at: doing.at,
          expiresAt: doing.at + 1000,
          address: '192.0.2.7',
          browser: '',
        }),
      )
      const holder = async (at: number) => (await store.session(hash('8'), at, 0))?.holder
      expect(await holder(doing.at + 99)).toEqual({
        kind: 'guest',
        link: 1,
        report: 1,
        givenTo: 'Cleo',
        expiresAt: doing.at + 100,
      })
      expect(await holder(doing.at + 100)).toBeUndefined()
      expect(await store.write((writer) => writer.revokeGuestLink(2, 1, doing))).toBe(false)
      expect(await store.write((writer) => writer.revokeGuestLink(1, 1, doing))).toBe(true)
      expect(await store.write((writer) => writer.revokeGuestLink(1, 1, doing))).toBe(false)
      expect(await store.guestLink(hash('1'), doing.at)).toBeNull()
      expect(await holder(doing.at)).toBeUndefined()
      expect(await store.guestLinks(1)).toEqual([{ id: 1, ...link, revokedAt: doing.at }])
      expect(await store.guestLinks(2)).toEqual([])
    })
  })
}
