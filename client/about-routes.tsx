import { Route } from 'preact-iso'
import { FloorPage, NoticesPage, PlacesPage, SlowPage, TestsPage, TogetherPage } from './pages-on-demand.ts'

const about = '/drift/:number/:revision/:designator'

/**
 * Pages that look at one thing beside the control chart, and the screen on the shop floor. "together" stands before it,
 * where a designator would.
 */
export const ABOUT_ROUTES = [
  <Route key="notices" path="/drift/notices" component={NoticesPage} />,
  <Route key="together" path="/drift/:number/:revision/together" component={TogetherPage} />,
  <Route key="places" path={`${about}/places`} component={PlacesPage} />,
  <Route key="slow" path={`${about}/slow`} component={SlowPage} />,
  <Route key="floor" path="/floor/:number/:revision" component={FloorPage} />,
  <Route key="tests" path={`${about}/tests`} component={TestsPage} />,
]
