import pg from 'pg'

export const CHANNEL = 'as_sintered_change'
/** Milliseconds until a lost connection is made anew. */
const AGAIN_AFTER = 1000

/** A connection that hears of the commits of every process; made when the first listener comes. */
export class Notices {
  readonly #config: pg.ClientConfig
  readonly #listeners = new Set<() => void>()
  #client: pg.Client | null = null
  #timer: NodeJS.Timeout | null = null
  #closed = false

  constructor(config: pg.ClientConfig) {
    this.#config = config
  }

  onChange(listener: () => void): () => void {
    this.#listeners.add(listener)
    if (this.#client === null && this.#timer === null) void this.#connect()
    return () => this.#listeners.delete(listener)
  }

  async close(): Promise<void> {
    this.#closed = true
    this.#listeners.clear()
    if (this.#timer !== null) clearTimeout(this.#timer)
    await this.#client?.end()
  }

  async #connect(): Promise<void> {
    this.#timer = null
    const client = new pg.Client(this.#config)
    this.#client = client
    const lost = () => {
      if (this.#client !== client) return
      this.#client = null
      if (this.#closed) return
      this.#timer = setTimeout(() => void this.#connect(), AGAIN_AFTER)
      this.#timer.unref()
    }
    client.on('error', lost)
    client.on('end', lost)
    client.on('notification', () => this.#call())
    try {
      await client.connect()
      await client.query(`listen ${CHANNEL}`)
      // What was committed before the connection listened was not heard.
      this.#call()
    } catch {
      lost()
      await client.end().catch(() => undefined)
    }
  }

  #call(): void {
    for (const listener of [...this.#listeners]) listener()
  }
}
