import type { Sentence } from '../../src/words/sentence.ts'

/** A sentence made from data, its roles shown by colour and weight. */
export function Words({ sentence }: { sentence: Sentence }) {
  return (
    <>
      {sentence.map((phrase) =>
        phrase.role === undefined ? (
          phrase.text
        ) : (
          <span key={phrase.text} class={`said-${phrase.role}`}>
            {phrase.text}
          </span>
        ),
      )}
    </>
  )
}

/** What a page opens with: the sentence, and what it rests on. */
export function Opening({ headline, grounds }: { headline: Sentence; grounds: Sentence }) {
  return (
    <header class="opening">
      <h1>
        <Words sentence={headline} />
      </h1>
      {grounds.length > 0 && (
        <p class="grounds">
          <Words sentence={grounds} />
        </p>
      )}
    </header>
  )
}
