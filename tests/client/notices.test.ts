import { describe, expect, it } from 'vitest'
import { isOlder } from '../../client/data/notices.ts'

describe('an answer', () => {
  it.each([
    ['of an earlier count is older', 'a.3', 'a.4', true],
    ['of the same count is not', 'a.4', 'a.4', false],
    ['that overtook the notice is not', 'a.10', 'a.9', false],
    ['of another run of the server is taken for older', 'b.7', 'a.4', true],
    ['without a version is taken for older', null, 'a.4', true],
  ])('%s', (_, version, told, older) => {
    expect(isOlder(version, told)).toBe(older)
  })
})
