import { useEffect, useState } from 'preact/hooks'
import type { MeasuredPart } from '../../server/contract/typing.ts'
import type { Stage } from '../../src/domain/cell.ts'
import { type PartNumberKey, partOnRecordAddress } from './addresses.ts'
import { ask } from './http.ts'

/** Milliseconds for which a serial number has to stand before it is asked about: it is typed key by key. */
const SETTLE = 400

/** What is on record of these parts, by serial number, each asked about once; what cannot be had is left out. */
export function usePartsOnRecord(
  key: PartNumberKey,
  stage: Stage,
  serials: readonly string[],
): ReadonlyMap<string, MeasuredPart> {
  const [parts, setParts] = useState<ReadonlyMap<string, MeasuredPart>>(new Map())
  const missing = [...new Set(serials)].filter((serial) => serial !== '' && !parts.has(serial))
  const asked = missing.join('\n')
  useEffect(() => {
    if (asked === '') return
    const stop = new AbortController()
    const timer = setTimeout(async () => {
      for (const serial of asked.split('\n')) {
        try {
          const part = await ask<MeasuredPart>(partOnRecordAddress(key, serial, stage), {
            signal: stop.signal,
          })
          setParts((before) => new Map(before).set(serial, part))
        } catch {
          // The intake looks at the same once the values are handed in.
          return
        }
      }
    }, SETTLE)
    return () => {
      clearTimeout(timer)
      stop.abort()
    }
  }, [key.number, key.revision, stage, asked])
  return parts
}
