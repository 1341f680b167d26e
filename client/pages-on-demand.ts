import { onDemand } from './parts/on-demand.tsx'

/** The pages that the first view does without; the page Drift comes with the program itself. */
export const AccountPage = onDemand(() => import('./pages/account.tsx').then((page) => page.AccountPage))
export const CapabilityPage = onDemand(() =>
  import('./pages/capability.tsx').then((page) => page.CapabilityPage),
)
export const BuildPartsPage = onDemand(() =>
  import('./pages/build-parts.tsx').then((page) => page.BuildPartsPage),
)
export const CapabilityDetailPage = onDemand(() =>
  import('./pages/capability-detail.tsx').then((page) => page.CapabilityDetailPage),
)
export const ErasurePage = onDemand(() => import('./pages/erasure.tsx').then((page) => page.ErasurePage))
export const EvidencePage = onDemand(() => import('./pages/evidence.tsx').then((page) => page.EvidencePage))
export const FindPartPage = onDemand(() => import('./pages/find-part.tsx').then((page) => page.FindPartPage))
export const FloorPage = onDemand(() => import('./pages/floor.tsx').then((page) => page.FloorPage))
export const GaugePage = onDemand(() => import('./pages/gauge.tsx').then((page) => page.GaugePage))
export const GaugePlanPage = onDemand(() =>
  import('./pages/gauge-plan.tsx').then((page) => page.GaugePlanPage),
)
export const GaugeStudyPage = onDemand(() =>
  import('./pages/gauge-study.tsx').then((page) => page.GaugeStudyPage),
)
export const GaugesPage = onDemand(() => import('./pages/gauges.tsx').then((page) => page.GaugesPage))
export const GuestReportPage = onDemand(() =>
  import('./pages/guest-report.tsx').then((page) => page.GuestReportPage),
)
export const GuidePage = onDemand(() => import('./pages/guide.tsx').then((page) => page.GuidePage))
export const ImportPage = onDemand(() => import('./pages/imports.tsx').then((page) => page.ImportPage))
export const ImportsPage = onDemand(() => import('./pages/imports.tsx').then((page) => page.ImportsPage))
export const IntakePage = onDemand(() => import('./pages/intake.tsx').then((page) => page.IntakePage))
export const InterfacePage = onDemand(() =>
  import('./pages/interface.tsx').then((page) => page.InterfacePage),
)
export const NoticesPage = onDemand(() => import('./pages/notices.tsx').then((page) => page.NoticesPage))
export const PartPage = onDemand(() => import('./pages/part.tsx').then((page) => page.PartPage))
export const PartNumbersPage = onDemand(() =>
  import('./pages/part-numbers.tsx').then((page) => page.PartNumbersPage),
)
export const PeoplePage = onDemand(() => import('./pages/people.tsx').then((page) => page.PeoplePage))
export const PlacesPage = onDemand(() => import('./pages/places.tsx').then((page) => page.PlacesPage))
export const PlanStudyPage = onDemand(() =>
  import('./pages/plan-study.tsx').then((page) => page.PlanStudyPage),
)
export const RecordPage = onDemand(() => import('./pages/record.tsx').then((page) => page.RecordPage))
export const ReportRecordPage = onDemand(() =>
  import('./pages/report-record.tsx').then((page) => page.ReportRecordPage),
)
export const ReportsPage = onDemand(() => import('./pages/reports.tsx').then((page) => page.ReportsPage))
export const ShopNewsPage = onDemand(() => import('./pages/shop-news.tsx').then((page) => page.ShopNewsPage))
export const ShrinkagePage = onDemand(() =>
  import('./pages/shrinkage.tsx').then((page) => page.ShrinkagePage),
)
export const SlowPage = onDemand(() => import('./pages/slow.tsx').then((page) => page.SlowPage))
export const TestsPage = onDemand(() => import('./pages/tests.tsx').then((page) => page.TestsPage))
export const TogetherPage = onDemand(() => import('./pages/together.tsx').then((page) => page.TogetherPage))
export const TokensPage = onDemand(() => import('./pages/tokens.tsx').then((page) => page.TokensPage))
export const TypingPage = onDemand(() => import('./pages/typing.tsx').then((page) => page.TypingPage))
