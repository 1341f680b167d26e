import { useState } from 'preact/hooks'

interface SecretShownProps {
  /** What it is and what to do with it. */
  readonly said: string
  readonly label: string
  readonly secret: string
}

/** A secret that the server shows this once. */
export function SecretShown({ said, label, secret }: SecretShownProps) {
  const [copied, setCopied] = useState<string | null>(null)
  const copy = () =>
    navigator.clipboard === undefined
      ? setCopied('This browser does not let the page copy here; select the text instead.')
      : navigator.clipboard.writeText(secret).then(
          () => setCopied('It is on the clipboard.'),
          () => setCopied('This browser does not let the page copy; select the text instead.'),
        )
  return (
    <div class="shown-once" role="status">
      <p>{said}</p>
      <p class="actions">
        <input
          type="text"
          readOnly
          aria-label={label}
          value={secret}
          onFocus={(event) => event.currentTarget.select()}
        />
        <button type="button" onClick={copy}>
          Copy it
        </button>
        {copied !== null && <span class="quiet">{copied}</span>}
      </p>
    </div>
  )
}

/** A link as the server gave it, with the name of the site before it. */
export function wholeLink(link: string): string {
  return `${location.origin}${link}`
}
