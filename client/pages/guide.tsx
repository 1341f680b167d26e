import { useEffect, useState } from 'preact/hooks'
import { useRoute } from 'preact-iso'
import { GUIDE, type GuidePageModule } from '../guide/contents.ts'
import { useTitle } from '../parts/title.ts'

/** The program's own help: one page of the guide, and the way to the others. */
export function GuidePage() {
  const slug = useRoute().params.page ?? GUIDE[0]?.slug
  const entry = GUIDE.find((candidate) => candidate.slug === slug)
  const [page, setPage] = useState<GuidePageModule | null>(null)
  useTitle(entry?.title ?? 'Guide')
  useEffect(() => {
    setPage(null)
    void entry?.load().then(setPage)
  }, [entry])
  return (
    <div class="guide">
      <nav aria-label="Guide">
        {GUIDE.map((each) => (
          <a key={each.slug} href={`/guide/${each.slug}`} aria-current={each === entry ? 'page' : undefined}>
            {each.title}
          </a>
        ))}
      </nav>
      {entry === undefined && <h1>The guide has no such page.</h1>}
      {page !== null && <article dangerouslySetInnerHTML={{ __html: page.html }} />}
    </div>
  )
}
