import { useEffect } from 'preact/hooks'
import { LocationProvider, Route, Router } from 'preact-iso'
import type { ShopView } from '../server/contract/views.ts'
import { ABOUT_ROUTES } from './about-routes.tsx'
import { useResource } from './data/resource.ts'
import { ShopContext } from './data/shop.ts'
import { intakeQueue, onReceipt } from './data/the-intake.ts'
import { DriftPage } from './pages/drift.tsx'
import { NowherePage, StartPage } from './pages/start.tsx'
import {
  AccountPage,
  BuildPartsPage,
  CapabilityDetailPage,
  CapabilityPage,
  ErasurePage,
  EvidencePage,
  FindPartPage,
  GaugePage,
  GaugePlanPage,
  GaugeStudyPage,
  GaugesPage,
  GuidePage,
  ImportPage,
  ImportsPage,
  IntakePage,
  InterfacePage,
  PartNumbersPage,
  PartPage,
  PeoplePage,
  PlanStudyPage,
  RecordPage,
  ReportRecordPage,
  ReportsPage,
  ShopNewsPage,
  ShrinkagePage,
  TokensPage,
  TypingPage,
} from './pages-on-demand.ts'
import { SessionGate } from './parts/access/session-gate.tsx'
import { AppearanceChoice } from './parts/appearance.tsx'
import { Head } from './parts/head.tsx'
import { DropAnywhere } from './parts/intake/drop-anywhere.tsx'
import { UpdatedNote } from './parts/updated-note.tsx'

/** The whole page: head, the place that the address names, foot. */
export function App() {
  return (
    <LocationProvider>
      <SessionGate>
        <Shop />
      </SessionGate>
    </LocationProvider>
  )
}

function Shop() {
  const shop = useResource<ShopView>('/api/shop')
  useEffect(() => onReceipt(shop.again), [shop.again])
  return (
    <ShopContext.Provider value={shop}>
      <a class="skip" href="#main">
        To the content
      </a>
      <DropAnywhere queue={intakeQueue} />
      <Head />
      <main id="main" tabIndex={-1}>
        <Router>
          <Route path="/" component={StartPage} />
          <Route path="/intake" component={IntakePage} />
          <Route path="/intake/typing/:sheet?" component={TypingPage} />
          <Route path="/drift" component={ShopNewsPage} />
          {ABOUT_ROUTES}
          <Route path="/drift/:number/:revision/:designator?" component={DriftPage} />
          <Route path="/shrinkage" component={PartNumbersPage} place="shrinkage" />
          <Route path="/shrinkage/:number/:revision" component={ShrinkagePage} />
          <Route path="/capability" component={PartNumbersPage} place="capability" />
          <Route path="/capability/:number/:revision" component={CapabilityPage} />
          <Route path="/capability/:number/:revision/:designator" component={CapabilityDetailPage} />
          <Route path="/gauges" component={GaugesPage} />
          <Route path="/gauges/of/:gauge" component={GaugePage} />
          <Route path="/gauges/studies/:study" component={GaugeStudyPage} />
          <Route path="/gauges/plan" component={PlanStudyPage} />
          <Route path="/gauges/plans/:plan" component={GaugePlanPage} />
          <Route path="/guide/:page?" component={GuidePage} />
          <Route path="/record" component={RecordPage} />
          <Route path="/record/evidence" component={EvidencePage} />
          <Route path="/record/imports" component={ImportsPage} />
          <Route path="/record/parts" component={FindPartPage} />
          <Route path="/record/parts/:number/:revision/:serial" component={PartPage} />
          <Route path="/record/builds/:number/:revision/:build" component={BuildPartsPage} />
          <Route path="/record/erasure" component={ErasurePage} />
          <Route path="/record/reports" component={ReportsPage} />
          <Route path="/record/reports/:report" component={ReportRecordPage} />
          <Route path="/record/people" component={PeoplePage} />
          <Route path="/record/tokens" component={TokensPage} />
          <Route path="/interface" component={InterfacePage} />
          <Route path="/account" component={AccountPage} />
          <Route path="/record/:id" component={ImportPage} />
          <Route default component={NowherePage} />
        </Router>
      </main>
      <footer class="foot">
        <a href="/guide">Guide</a>
        <UpdatedNote />
        <AppearanceChoice />
      </footer>
    </ShopContext.Provider>
  )
}
