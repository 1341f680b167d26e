import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Attempt, createThrottle } from '../../../server/access/throttle.ts'

const NOW = 1_790_000_000
const attempt = (name: string, address: string, known = false): Attempt => ({ name, address, known })

describe('the throttle', () => {
  it('lets people mistype, and then waits 1, 2, 4 … up to 60 s', () => {
    const throttle = createThrottle()
    const waits: number[] = []
    for (let i = 0; i < 14; i++) {
      waits.push(throttle.wait(attempt('Ada', '192.0.2.7'), NOW))
      throttle.failed(attempt('Ada', '192.0.2.7'), NOW)
    }
    expect(waits).toEqual([0, 0, 0, 0, 0, 1, 2, 4, 8, 16, 32, 60, 60, 60])
  })

  it('counts a name from wherever it is tried, however it is written', () => {
    const throttle = createThrottle()
    for (let i = 0; i < 12; i++) throttle.failed(attempt('Ada', `192.0.2.${i}`), NOW)
    expect(throttle.wait(attempt(' ADA ', '198.51.100.1'), NOW)).toBe(60)
    expect(throttle.wait(attempt('Bea', '192.0.2.1'), NOW)).toBe(0)
  })

  it('counts an address whatever names are tried from it', () => {
    const throttle = createThrottle()
    for (let i = 0; i < 40; i++) throttle.failed(attempt(`name ${i}`, '192.0.2.7'), NOW)
    expect(throttle.wait(attempt('Ada', '192.0.2.7'), NOW)).toBe(60)
    expect(throttle.wait(attempt('Ada', '192.0.2.8'), NOW)).toBe(0)
  })

  it('forgets in an hour, and when the right password comes', () => {
    const throttle = createThrottle()
    for (let i = 0; i < 12; i++) throttle.failed(attempt('Ada', '192.0.2.7'), NOW)
    expect(throttle.wait(attempt('Ada', '192.0.2.7'), NOW + 59)).toBe(1)
    expect(throttle.wait(attempt('Ada', '192.0.2.7'), NOW + 60)).toBe(0)
    throttle.failed(attempt('Ada', '192.0.2.7'), NOW + 60)
    expect(throttle.wait(attempt('Ada', '192.0.2.7'), NOW + 61)).toBe(59)
    expect(throttle.wait(attempt('Ada', '192.0.2.7'), NOW + 3700)).toBe(0)
    for (let i = 0; i < 6; i++) throttle.failed(attempt('Bea', '192.0.2.9'), NOW)
    throttle.succeeded(attempt('Bea', '192.0.2.9'))
    expect(throttle.wait(attempt('Bea', '192.0.2.9'), NOW)).toBe(0)
  })

  it('never keeps anybody out for more than a minute, nor a person where they have signed in before', () => {
    const attempts = fc.array(
      fc.record({
        name: fc.constantFrom('Ada', 'Bea'),
        address: fc.constantFrom('192.0.2.7', '192.0.2.8'),
        later: fc.nat(100),
      }),
      { maxLength: 200 },
    )
    fc.assert(
      fc.property(attempts, (all) => {
        const throttle = createThrottle()
        let now = NOW
        for (const { name, address, later } of all) {
          throttle.failed(attempt(name, address), now)
          now += later
          expect(throttle.wait(attempt(name, address), now)).toBeLessThanOrEqual(60)
        }
        // Whatever strangers did, from whichever address.
        expect(throttle.wait(attempt('Ada', '192.0.2.7', true), now)).toBe(0)
      }),
    )
  })

  it('keeps in mind no more than it has room for', () => {
    const throttle = createThrottle()
    for (let i = 0; i < 12; i++) throttle.failed(attempt('Ada', '192.0.2.7'), NOW)
    for (let i = 0; i < 20_000; i++) throttle.failed(attempt(`name ${i}`, '192.0.2.8'), NOW)
    expect(throttle.wait(attempt('Ada', '192.0.2.7'), NOW)).toBe(0)
  })
})
