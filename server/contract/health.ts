/** Answers about how the server is doing. */

export interface HealthView {
  readonly alive: true
}

export interface ReadyView {
  /** Whether requests are to be sent here. */
  readonly ready: boolean
  /** silent: it does not answer. */
  readonly database: 'current' | 'to be brought up' | 'silent'
  readonly disk: 'writable' | 'full or read-only'
}
