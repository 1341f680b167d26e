import type { IntakeItem, IntakeQueue } from '../../data/intake-queue.ts'
import { bytesText, counted } from '../../words/quantities.ts'
import { ProblemNotice } from '../notice.tsx'
import { ReceiptView } from './receipt-view.tsx'

/** One file on its way in: how far it is, or what came of it. */
export function IntakeItemView({ item, queue }: { item: IntakeItem; queue: IntakeQueue }) {
  const { key, state, receipt } = item
  const running = state === 'waiting' || state === 'sending' || state === 'working'
  return (
    <li class="intake-item">
      {running && <Running item={item} onStop={() => queue.stop(key)} />}
      {item.problem !== null && (
        <ProblemNotice
          problem={{ ...item.problem, what: `${item.name}: ${item.problem.what}` }}
          {...(state === 'failed' ? { again: () => queue.again(key) } : {})}
        />
      )}
      {state === 'stopped' && (
        <div class="notice">
          <p>{item.name} was stopped before it was sent. Nothing was changed.</p>
          <button type="button" onClick={() => queue.again(key)}>
            Hand it in after all
          </button>
        </div>
      )}
      {receipt !== null && !running && (
        <ReceiptView
          receipt={receipt}
          job={item.progress?.job}
          onRemedy={(choices) => queue.again(key, choices)}
        />
      )}
      {!running && (
        <button type="button" class="plain away" onClick={() => queue.dismiss(key)}>
          Take off this list
        </button>
      )}
    </li>
  )
}

function Running({ item, onStop }: { item: IntakeItem; onStop: () => void }) {
  const { done, total, words } = howFar(item)
  return (
    <div class="running">
      <p>
        <strong>{item.name}</strong> <span role="status">{words}</span>
      </p>
      <progress
        {...(total > 0 ? { value: Math.min(done, total), max: total } : {})}
        aria-label={`${item.name}: ${words}`}
      />
      <button type="button" onClick={onStop}>
        Stop
      </button>
    </div>
  )
}

function howFar({ state, sent, bytes, progress }: IntakeItem): {
  done: number
  total: number
  words: string
} {
  if (state === 'waiting') return { done: 0, total: 1, words: 'waits for its turn' }
  if (state === 'sending' || progress === null) {
    return { done: sent, total: bytes, words: `is being sent: ${bytesText(sent)} of ${bytesText(bytes)}` }
  }
  const { bytesRead, bytesTotal, rowsRead } = progress
  const what = {
    waiting: 'waits at the server',
    reading: 'is being read',
    writing: 'is being written',
    finished: 'is done',
  }
  return {
    done: bytesRead,
    total: bytesTotal,
    words: `${what[progress.state]}: ${counted(rowsRead, 'row')}, ${bytesText(bytesRead)} of ${bytesText(bytesTotal)}`,
  }
}
