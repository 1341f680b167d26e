import { isUtf8 } from 'node:buffer'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { Decoder, type Encoding, EncodingFinder } from '../../../server/intake/decode.ts'
import { FileProblemError } from '../../../server/intake/faults.ts'

function encodingOf(...chunks: Buffer[]): Encoding {
  const finder = new EncodingFinder()
  for (const chunk of chunks) finder.push(chunk)
  return finder.end()
}

function decode(encoding: Encoding, ...chunks: Buffer[]): string {
  const decoder = new Decoder(encoding)
  return chunks.map((chunk) => decoder.push(chunk)).join('') + decoder.end()
}

/** The bytes cut into pieces of one length. */
function pieces(bytes: Buffer, length: number): Buffer[] {
  const cut: Buffer[] = []
  for (let i = 0; i < bytes.length; i += length) cut.push(bytes.subarray(i, i + length))
  return cut
}

describe('finding the encoding', () => {
  it('UTF-8 with and without a byte order mark', () => {
    expect(encodingOf(Buffer.from('serial,µm €'))).toBe('UTF-8')
    expect(encodingOf(Buffer.from('\ufeffserial'))).toBe('UTF-8')
    expect(encodingOf(Buffer.alloc(0))).toBe('UTF-8')
    expect(encodingOf(Buffer.from('a'))).toBe('UTF-8')
  })

  it('UTF-16 by its byte order mark', () => {
    expect(encodingOf(Buffer.from('\ufeffserial', 'utf16le'))).toBe('UTF-16 LE')
    expect(encodingOf(Buffer.from([0xfe, 0xff, 0, 65]))).toBe('UTF-16 BE')
    expect(encodingOf(Buffer.from([0xff]), Buffer.from([0xfe, 65, 0]))).toBe('UTF-16 LE')
  })

  it('Windows-1252 where UTF-8 breaks, be it in the last byte', () => {
    expect(encodingOf(Buffer.from('J\xfcrgen Moeller', 'latin1'))).toBe('Windows-1252')
    expect(encodingOf(Buffer.concat([Buffer.alloc(100_000, 'a'), Buffer.from([0xe4])]))).toBe('Windows-1252')
  })

  it('agrees with the whole at once wherever the bytes are cut', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.uint8Array({ min: 1, maxLength: 60 }),
          fc.string({ unit: 'grapheme' }).map((s) => Buffer.from(s.replaceAll('\0', ''))),
        ),
        fc.integer({ min: 1, max: 9 }),
        (raw, length) => {
          // A letter first keeps signatures and byte order marks out of the way.
          const bytes = Buffer.concat([Buffer.from('a'), Buffer.from(raw)])
          expect(encodingOf(...pieces(bytes, length))).toBe(isUtf8(bytes) ? 'UTF-8' : 'Windows-1252')
        },
      ),
    )
  })

  it('refuses what is no text, wherever the bytes are cut', () => {
    for (const length of [1, 3, 100]) {
      expect(() => encodingOf(...pieces(Buffer.from('%PDF-1.7 and so on'), length))).toThrow(FileProblemError)
      expect(() => encodingOf(...pieces(Buffer.from('serial,value\n\0\0'), length))).toThrow(/zero bytes/)
    }
  })
})

describe('decoding', () => {
  it('makes one line end of all, also where CR LF is cut in two', () => {
    expect(decode('UTF-8', Buffer.from('a\r\nb\rc\nd'))).toBe('a\nb\nc\nd')
    expect(decode('UTF-8', Buffer.from('a\r'), Buffer.from('\nb'))).toBe('a\nb')
    expect(decode('UTF-8', Buffer.from('a\r'), Buffer.from('b'))).toBe('a\nb')
    expect(decode('UTF-8', Buffer.from('a\r'), Buffer.from('\r'), Buffer.from('\n'))).toBe('a\n\n')
    expect(decode('UTF-8', Buffer.from('a\r'))).toBe('a\n')
  })

  it('gives the same text wherever the bytes are cut', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom('a', ',', '"', '\r', '\n', 'µ', '€', '𝛔') }),
        fc.integer({ min: 1, max: 5 }),
        (text, length) => {
          const plain = text.replace(/\r\n?/g, '\n')
          expect(decode('UTF-8', ...pieces(Buffer.from(text), length))).toBe(plain)
          const utf16 = Buffer.from(`\ufeff${text}`, 'utf16le')
          expect(decode('UTF-16 LE', ...pieces(utf16, length))).toBe(plain)
          expect(decode('UTF-16 BE', ...pieces(Buffer.from(utf16).swap16(), length))).toBe(plain)
        },
      ),
    )
  })

  it('reads Windows-1252 as the code page is registered', () => {
    // From the IANA registration of windows-1252: 80 is the euro sign, 92 a right quotation mark, 99 the trade mark.
    expect(decode('Windows-1252', Buffer.from([0x80, 0x92, 0x99, 0xb5, 0xd8, 0x41]))).toBe('€’™µØA')
    expect(decode('Windows-1252', Buffer.from([0x8a, 0x8e, 0x9e, 0x9f, 0x85, 0x96]))).toBe('ŠŽžŸ…–')
  })

  it('drops the byte order mark, and only at the beginning', () => {
    expect(decode('UTF-8', Buffer.from('\ufeffa\ufeffb'))).toBe('a\ufeffb')
  })
})
