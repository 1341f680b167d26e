import { createHash } from 'node:crypto'
import { describe, expect, it } from 'vitest'
import { entryHash, personalHash } from '../../../../server/store/record/entry-hash.ts'

describe('hashes of the record', () => {
  it('are those that SHA-256 gives of the canonical JSON', () => {
    // Written out by hand from RFC 8785: members in the order of their names, no white space.
    const written =
      '{"about":"[]","at":1,"details":"{}","kind":"remark","personal":"p","previous":"0","sequence":1}'
    const entry = {
      sequence: 1,
      at: 1,
      kind: 'remark',
      about: '[]',
      details: '{}',
      personal: 'p',
      previous: '0',
    }
    expect(entryHash(entry)).toBe(createHash('sha256').update(written).digest('hex'))
    expect(personalHash({ who: null, content: '{}', salt: 's' })).toBe(
      createHash('sha256').update('{"content":"{}","salt":"s","who":null}').digest('hex'),
    )
  })
})
