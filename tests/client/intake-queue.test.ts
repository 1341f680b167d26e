import { describe, expect, it } from 'vitest'
import { RequestError, unheard } from '../../client/data/http.ts'
import { createIntakeQueue, type IntakeChannel, type IntakeQueue } from '../../client/data/intake-queue.ts'
import type { ImportChoices, ImportProgress, Receipt } from '../../server/contract/receipt.ts'
import { progressFixture, RECEIPT, REFUSED_RECEIPT } from './fixtures.ts'

/** A channel whose answers a test gives one by one. */
function scripted(patch: Partial<IntakeChannel> = {}) {
  const sent: { name: string; choices: ImportChoices }[] = []
  const retried: ImportChoices[] = []
  const cancelled: string[] = []
  const done = (receipt: Receipt) => progressFixture({ state: 'finished', receipt })
  const channel: IntakeChannel = {
    send: async (file, choices, onBytes) => {
      sent.push({ name: file.name, choices })
      onBytes(file.size)
      return progressFixture({ job: `job-${sent.length}`, state: 'waiting' })
    },
    watch: async (_job, onProgress) => {
      onProgress(progressFixture({ rowsRead: 100 }))
      return done(RECEIPT)
    },
    retry: async (job, choices) => {
      retried.push(choices)
      return progressFixture({ job })
    },
    cancel: async (job) => {
      cancelled.push(job)
      return progressFixture({ job })
    },
    sample: async () => progressFixture({ job: 'sample' }),
    ...patch,
  }
  return { channel, sent, retried, cancelled, done }
}

const file = (name: string) => new File(['a,b\n1,2\n'], name)

/** Waits until the queue is in a state. */
function until(queue: IntakeQueue, reached: () => boolean): Promise<void> {
  return new Promise((resolve) => {
    const look = () => {
      if (!reached()) return
      stop()
      resolve()
    }
    const stop = queue.subscribe(look)
    queueMicrotask(look)
  })
}

const states = (queue: IntakeQueue) => queue.items().map((item) => item.state)

describe('the queue of files', () => {
  it('sends them one after another and keeps their receipts', async () => {
    const { channel, sent } = scripted()
    const finished: Receipt[] = []
    const queue = createIntakeQueue(channel, (receipt) => finished.push(receipt))
    queue.add([file('a.csv'), file('b.csv')], 'Ines')
    expect(states(queue)).toEqual(['sending', 'waiting'])
    await until(queue, () => states(queue).every((state) => state === 'done'))
    expect(sent.map((each) => [each.name, each.choices.who])).toEqual([
      ['a.csv', 'Ines'],
      ['b.csv', 'Ines'],
    ])
    expect(finished).toHaveLength(2)
    expect(queue.items()[0]?.receipt).toBe(RECEIPT)
  })

  it('goes on with the next where one fails, and keeps the file to try again', async () => {
    let online = false
    const { channel, sent } = scripted()
    const send = channel.send
    const queue = createIntakeQueue(
      {
        ...channel,
        send: (...all) => (online || all[0].name === 'b.csv' ? send(...all) : Promise.reject(unheard())),
      },
      () => {},
    )
    queue.add([file('a.csv'), file('b.csv')], '')
    await until(queue, () => states(queue)[1] === 'done')
    const [failed] = queue.items()
    expect(failed?.state).toBe('failed')
    expect(failed?.problem?.what).toBe('The server cannot be reached.')
    online = true
    queue.again(failed?.key ?? 0)
    await until(queue, () => states(queue)[0] === 'done')
    expect(sent.map((each) => each.name)).toEqual(['b.csv', 'a.csv'])
  })

  it('watches the same job again after the connection was lost, without sending twice', async () => {
    let lost = true
    const { channel, sent, done } = scripted()
    const queue = createIntakeQueue(
      {
        ...channel,
        watch: async () => {
          if (lost) throw unheard()
          return done(RECEIPT)
        },
      },
      () => {},
    )
    queue.add([file('a.csv')], '')
    await until(queue, () => states(queue)[0] === 'failed')
    lost = false
    queue.again(queue.items()[0]?.key ?? 0)
    await until(queue, () => states(queue)[0] === 'done')
    expect(sent).toHaveLength(1)
  })

  it('tries a refused file again with what was chosen, the receipt staying until there is another', async () => {
    const receipts = [REFUSED_RECEIPT, RECEIPT]
    const { channel, retried, sent, done } = scripted()
    const seen: (Receipt | null)[] = []
    const queue = createIntakeQueue(
      { ...channel, watch: async () => done(receipts.shift() as Receipt) },
      () => {},
    )
    queue.add([file('a.csv')], 'Ines')
    await until(queue, () => states(queue)[0] === 'done')
    const key = queue.items()[0]?.key ?? 0
    queue.subscribe(() => seen.push(queue.items()[0]?.receipt ?? null))
    queue.again(key, { takeGoodRows: true })
    await until(queue, () => queue.items()[0]?.receipt === RECEIPT)
    expect(retried).toEqual([
      { who: 'Ines', takeGoodRows: true, convertUnits: false, partNumber: null, revision: null },
    ])
    expect(sent).toHaveLength(1)
    expect(seen).not.toContain(null)
  })

  it('sends the file anew where the server has forgotten the job', async () => {
    const receipts = [REFUSED_RECEIPT, RECEIPT]
    const forgotten = new RequestError({ what: 'Not under way.', where: null, next: '' }, 404)
    const { channel, sent, done } = scripted()
    const queue = createIntakeQueue(
      {
        ...channel,
        retry: () => Promise.reject(forgotten),
        watch: async () => done(receipts.shift() as Receipt),
      },
      () => {},
    )
    queue.add([file('a.csv')], '')
    await until(queue, () => states(queue)[0] === 'done')
    queue.again(queue.items()[0]?.key ?? 0, { convertUnits: true })
    await until(queue, () => queue.items()[0]?.receipt === RECEIPT)
    expect(sent.map((each) => each.choices.convertUnits)).toEqual([false, true])
  })

  it('tells what was said of the layout once the file is there again', async () => {
    const receipts = [REFUSED_RECEIPT, REFUSED_RECEIPT, RECEIPT]
    const told: ImportChoices[] = []
    const { channel, done } = scripted()
    const queue = createIntakeQueue(
      {
        ...channel,
        retry: async (job, choices) => {
          told.push(choices)
          if (told.length === 1) throw new RequestError({ what: 'Gone.', where: null, next: '' }, 404)
          return progressFixture({ job })
        },
        watch: async () => done(receipts.shift() as Receipt),
      },
      () => {},
    )
    queue.add([file('a.csv')], '')
    await until(queue, () => states(queue)[0] === 'done')
    const layout = { columns: { '1': 'serial' } }
    queue.again(queue.items()[0]?.key ?? 0, { layout })
    await until(queue, () => queue.items()[0]?.receipt === RECEIPT)
    expect(told.map((choices) => choices.layout)).toEqual([layout, layout])
  })

  it('stops one that waits, one that is being sent, and one that the server works on', async () => {
    const { channel, cancelled, done } = scripted()
    let finish: (progress: ImportProgress) => void = () => {}
    const queue = createIntakeQueue(
      {
        ...channel,
        send: (sentFile, choices, onBytes, signal) =>
          sentFile.name === 'slow.csv'
            ? new Promise((_, reject) => {
                signal.addEventListener('abort', () => reject(new DOMException('', 'AbortError')))
              })
            : channel.send(sentFile, choices, onBytes, signal),
        watch: () =>
          new Promise((resolve) => {
            finish = resolve
          }),
      },
      () => {},
    )
    queue.add([file('slow.csv'), file('worked.csv'), file('waits.csv')], '')
    const [slow, worked, waits] = queue.items().map((item) => item.key) as [number, number, number]
    queue.stop(waits)
    expect(states(queue)[2]).toBe('stopped')
    queue.stop(slow)
    await until(queue, () => states(queue)[1] === 'working')
    expect(states(queue)[0]).toBe('stopped')
    queue.stop(worked)
    expect(cancelled).toHaveLength(1)
    finish(done({ ...RECEIPT, verdict: 'cancelled' }))
    await until(queue, () => states(queue)[1] === 'done')
    expect(queue.items()[1]?.receipt?.verdict).toBe('cancelled')
  })

  it('takes the sample shop in like a file, and lets finished ones be taken off', async () => {
    const { channel } = scripted()
    const queue = createIntakeQueue(channel, () => {})
    queue.addSample('')
    await until(queue, () => states(queue)[0] === 'done')
    expect(queue.items()[0]?.name).toBe('sample shop')
    queue.dismiss(queue.items()[0]?.key ?? 0)
    expect(queue.items()).toEqual([])
  })

  it('does not watch a job that has finished already', async () => {
    const { channel, done } = scripted()
    const queue = createIntakeQueue(
      {
        ...channel,
        send: async () => done(RECEIPT),
        watch: () => Promise.reject(new Error('nothing to watch')),
      },
      () => {},
    )
    queue.add([file('a.csv')], '')
    await until(queue, () => states(queue)[0] === 'done')
    expect(queue.items()[0]?.receipt).toEqual(RECEIPT)
    expect(queue.items()[0]?.problem).toBeNull()
  })
})
