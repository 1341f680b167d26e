const END = 0x06054b50
const END_LENGTH = 22
const ENTRY = 0x02014b50
/** 1980-01-01 00:00, the first moment that the format can tell. */
const FIRST_TIME = 0
const FIRST_DATE = 0x21

/**
 * A ZIP archive whose files all have the same time, so that the same content gives the same bytes.
 *
 * Source: PKWARE, .ZIP File Format Specification (APPNOTE), sections 4.3.7, 4.3.12 and 4.3.16.
 *
 * @param archive without comment; changed in place
 * @throws RangeError where it is not an archive
 */
export function withoutTimes(archive: Buffer): Buffer {
  const end = archive.length - END_LENGTH
  if (end < 0 || archive.readUInt32LE(end) !== END) throw new RangeError('not an archive without comment')
  const count = archive.readUInt16LE(end + 10)
  let at = archive.readUInt32LE(end + 16)
  for (let i = 0; i < count; i++) {
    if (archive.readUInt32LE(at) !== ENTRY) throw new RangeError('an entry is not where it should be')
    setTime(archive, at + 12)
    setTime(archive, archive.readUInt32LE(at + 42) + 10)
    const lengths = [28, 30, 32].map((offset) => archive.readUInt16LE(at + offset))
    at += 46 + lengths.reduce((sum, length) => sum + length, 0)
  }
  return archive
}

function setTime(archive: Buffer, at: number): void {
  archive.writeUInt16LE(FIRST_TIME, at)
  archive.writeUInt16LE(FIRST_DATE, at + 2)
}
