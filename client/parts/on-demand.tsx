import type { ComponentType } from 'preact'
import { lazy } from 'preact-iso'
import { ProblemNotice } from './notice.tsx'

/**
 * A page whose scripts are fetched when it is first asked for. Where they cannot be had, since the server is away or has
 * been replaced meanwhile, the page says so.
 */
export function onDemand<Props extends object>(
  load: () => Promise<ComponentType<Props>>,
): ComponentType<Props> {
  return lazy(() => load().catch((): ComponentType<Props> => NotFetched))
}

function NotFetched() {
  return (
    <ProblemNotice
      problem={{
        what: 'This page could not be fetched.',
        where: null,
        next: 'The server cannot be reached, or runs a newer version of the program. Nothing that you entered elsewhere is lost.',
      }}
      again={() => location.reload()}
    />
  )
}
