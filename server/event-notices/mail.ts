import { createTransport } from 'nodemailer'

/** How e-mail is sent. Read where the server is started; never kept in the database. */
export interface MailSettings {
  readonly host: string
  readonly port: number
  /**
   * starttls: nothing is said in clear. tls: encrypted from the first byte. none: in clear, for a server on this
   * machine.
   */
  readonly encryption: 'starttls' | 'tls' | 'none'
  readonly user: string | null
  readonly password: string | null
  /** Address that the e-mail comes from. */
  readonly sender: string
}

export interface MailMessage {
  readonly to: string
  readonly title: string
  readonly text: string
  /** Tells the same e-mail sent twice for one. */
  readonly id: string
}

/** Milliseconds to wait for the server to answer, and for the whole of it. */
const ANSWER = 20_000
const ALL = 90_000

/** @throws Error that says what the mail server answered, or that it did not */
export async function sendMail(settings: MailSettings, { to, title, text, id }: MailMessage): Promise<void> {
  const transport = createTransport({
    host: settings.host,
    port: settings.port,
    secure: settings.encryption === 'tls',
    requireTLS: settings.encryption === 'starttls',
    ignoreTLS: settings.encryption === 'none',
    ...(settings.user === null ? {} : { auth: { user: settings.user, pass: settings.password ?? '' } }),
    connectionTimeout: ANSWER,
    greetingTimeout: ANSWER,
    socketTimeout: ANSWER,
    disableFileAccess: true,
    disableUrlAccess: true,
  })
  const message = {
    from: settings.sender,
    to,
    subject: title,
    text,
    messageId: id,
    headers: { 'Auto-Submitted': 'auto-generated' },
  }
  let timer: NodeJS.Timeout | undefined
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error('The mail server took too long.')), ALL)
  })
  try {
    await Promise.race([transport.sendMail(message), late])
  } finally {
    clearTimeout(timer)
    transport.close()
  }
}
