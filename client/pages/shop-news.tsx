import { useEffect } from 'preact/hooks'
import type { PartNumberNews, ShopNewsView } from '../../server/contract/views.ts'
import { capitalise, countWord } from '../../src/words/format.ts'
import { driftPage, SHOP_NEWS_ADDRESS } from '../data/addresses.ts'
import { onDecided } from '../data/decide.ts'
import { useResource } from '../data/resource.ts'
import { useShop } from '../data/shop.ts'
import { onReceipt } from '../data/the-intake.ts'
import { NothingMeasured, Reading } from '../parts/notice.tsx'
import { Words } from '../parts/sentence.tsx'
import { useTitle } from '../parts/title.ts'

/** The morning's page: of every part number whether it moved, each in the words that its own page opens with. */
export function ShopNewsPage() {
  useTitle('Drift')
  const news = useResource<ShopNewsView>(SHOP_NEWS_ADDRESS)
  useEffect(() => onReceipt(news.again), [news.again])
  useEffect(() => onDecided(news.again), [news.again])
  const { value } = news
  if (value === null) return <WhileRead resource={news} />
  if (value.partNumbers.length === 0) return <NothingMeasured />
  return (
    <>
      <header class="opening">
        <h1>{headlineOf(value.partNumbers)}</h1>
      </header>
      <ul class="news">
        {value.partNumbers.map((each) => (
          <NewsItem key={`${each.number} ${each.revision}`} news={each} />
        ))}
      </ul>
    </>
  )
}

/** Until the sentences are there, the part numbers are, to go on from. */
function WhileRead({ resource }: { resource: ReturnType<typeof useResource<ShopNewsView>> }) {
  const shop = useShop()
  return (
    <>
      <Reading resource={resource} what="what moved" />
      <ul class="news">
        {shop.value?.partNumbers.map((each) => (
          <li key={each.id}>
            <h2>
              <PartNumberLink of={each} href={driftPage(each)} />
            </h2>
          </li>
        ))}
      </ul>
    </>
  )
}

/** How many moved and, where they moved together, since which build: then what they share is where to look. */
function headlineOf(partNumbers: readonly PartNumberNews[]): string {
  const moved = partNumbers.filter((each) => each.movedSince !== null)
  const all = partNumbers.length
  if (moved.length === 0) return 'No change waits for an answer.'
  const [first, ...others] = moved
  const together = others.length > 0 && others.every((each) => each.movedSince === first?.movedSince)
  const since = together ? `, all since build ${first?.movedSince}` : ''
  const which =
    all === 1
      ? 'The part number'
      : all === 2 && moved.length === 2
        ? 'Both part numbers'
        : `${capitalise(countWord(moved.length))} of ${countWord(all)} part numbers`
  return `${which} moved${since}.`
}

function NewsItem({ news }: { news: PartNumberNews }) {
  const { headline, grounds, further, lastBuild, movedSince, stage } = news
  const href = `${driftPage(news)}${stage === 'sintered' ? '' : `?stage=${stage}`}`
  return (
    <li>
      <h2>
        <PartNumberLink of={news} href={href} />
        <span class="quiet">
          {lastBuild === null ? '' : ` up to build ${lastBuild}`}
          {stage === 'sintered' ? '' : `, ${stage} parts`}
        </span>
      </h2>
      <p class={movedSince === null ? undefined : 'moved'}>
        <Words sentence={headline} />
      </p>
      <p class="grounds">
        <Words sentence={grounds} />
        {further > 0 &&
          ` ${capitalise(countWord(further))} further ${further === 1 ? 'event stands and waits' : 'events stand and wait'} for an answer.`}
      </p>
    </li>
  )
}

function PartNumberLink({
  of,
  href,
}: {
  of: { readonly number: string; readonly revision: string; readonly name: string | null }
  href: string
}) {
  return (
    <a href={href}>
      {of.number}
      {of.name === null ? '' : ` ${of.name}`}, rev {of.revision}
    </a>
  )
}
