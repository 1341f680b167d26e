import { crc32, deflateSync } from 'node:zlib'
import fc from 'fast-check'
import { PNG } from 'pngjs'
import { describe, expect, it } from 'vitest'
import { LogoError, requireLogo } from '../../../server/report/logo.ts'

/** A whole picture, drawn by a library of its own. */
const whole = PNG.sync.write(new PNG({ width: 20, height: 10 }))

function piece(kind: string, data: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(kind, 'latin1'), data])
  const [length, sum] = [Buffer.alloc(4), Buffer.alloc(4)]
  length.writeUInt32BE(data.length)
  sum.writeUInt32BE(crc32(body))
  return Buffer.concat([length, body, sum])
}

function png(width: number, height: number, colour: number, data: Buffer, interlaced = 0): Buffer {
  const head = Buffer.alloc(13)
  head.writeUInt32BE(width, 0)
  head.writeUInt32BE(height, 4)
  head.set([8, colour, 0, 0, interlaced], 8)
  const pieces = [piece('IHDR', head), piece('IDAT', data), piece('IEND', Buffer.alloc(0))]
  return Buffer.concat([whole.subarray(0, 8), ...pieces])
}

/** As far as a JPEG file says how large its picture is. */
const jpeg = (width: number, height: number) =>
  Buffer.from([
    ...[0xff, 0xd8, 0xff, 0xe0, 0, 4, 1, 2],
    ...[0xff, 0xc0, 0, 17, 8, height >> 8, height & 255, width >> 8, width & 255, 3, 1, 0, 0, 2, 0, 0],
  ])

describe('a logo', () => {
  it('is a whole PNG or a JPEG', () => {
    expect(() => requireLogo(whole)).not.toThrow()
    expect(() => requireLogo(png(2, 2, 0, deflateSync(Buffer.alloc(6))))).not.toThrow()
    expect(() => requireLogo(jpeg(120, 40))).not.toThrow()
  })

  it.each<[string, Buffer, RegExp]>([
    ['is text', Buffer.from('<svg/>'), /neither a PNG nor a JPEG/],
    ['ends after its first bytes', whole.subarray(0, 20), /damaged/],
    ['is cut off', whole.subarray(0, whole.length - 20), /damaged/],
    ['holds no pixels', png(20, 20, 6, Buffer.from('not packed')), /damaged/],
    ['holds too few pixels', png(20, 20, 6, deflateSync(Buffer.alloc(50))), /damaged/],
    ['holds more pixels than it says', png(2, 2, 0, deflateSync(Buffer.alloc(1 << 20))), /damaged/],
    ['lacks its colours', png(20, 20, 3, deflateSync(Buffer.alloc(420))), /damaged/],
    ['is interlaced', png(2, 2, 0, deflateSync(Buffer.alloc(6)), 1), /interlaced/],
    ['would fill the memory', png(20_000, 20_000, 6, deflateSync(Buffer.alloc(9))), /20000 × 20000 pixels/],
    ['is nothing but the start of a JPEG', Buffer.from([0xff, 0xd8, 0xff, 0xe0]), /damaged/],
    ['is a JPEG of no size', jpeg(0, 40), /damaged/],
    ['is a JPEG of too many pixels', jpeg(65_000, 65_000), /65000 × 65000 pixels/],
  ])('is refused where it %s', (_, bytes, why) => {
    expect(() => requireLogo(bytes)).toThrow(LogoError)
    expect(() => requireLogo(bytes)).toThrow(why)
  })

  it('is let through or refused with a sentence, whatever its bytes', () => {
    const start = fc.constantFrom(whole.subarray(0, 8), whole.subarray(0, 40), jpeg(9, 9).subarray(0, 6))
    fc.assert(
      fc.property(start, fc.uint8Array({ maxLength: 200 }), (first, rest) => {
        try {
          requireLogo(Buffer.concat([first, rest]))
        } catch (error) {
          expect(error).toBeInstanceOf(LogoError)
        }
      }),
    )
  })
})
