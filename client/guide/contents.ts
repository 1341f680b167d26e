/** A page of the guide, loaded when it is read. */
export interface GuidePageModule {
  readonly title: string
  readonly html: string
}

export interface GuideEntry {
  /** Last part of the page's address. */
  readonly slug: string
  readonly title: string
  load(): Promise<GuidePageModule>
}

/** The guide's pages in the order in which a new user needs them. */
export const GUIDE: readonly GuideEntry[] = [
  { slug: 'reading', title: 'Reading the pages', load: () => import('./reading.md') },
  { slug: 'shrinkage', title: 'Shrinkage and scale factors', load: () => import('./shrinkage.md') },
  { slug: 'capability', title: 'Capability', load: () => import('./capability.md') },
  { slug: 'gauges', title: 'Gauges', load: () => import('./gauges.md') },
  { slug: 'files', title: 'Files to bring', load: () => import('./files.md') },
  { slug: 'figures', title: 'How the figures are computed', load: () => import('./figures.md') },
  { slug: 'reports', title: 'Reports for a customer', load: () => import('./reports.md') },
  {
    slug: 'beside-the-chart',
    title: 'Beside the control chart',
    load: () => import('./beside-the-chart.md'),
  },
  { slug: 'notices', title: 'Notices of new events', load: () => import('./notices.md') },
  { slug: 'record', title: 'The record', load: () => import('./record.md') },
  { slug: 'backup', title: 'Backup', load: () => import('./backup.md') },
  { slug: 'scale', title: 'When the shop grows', load: () => import('./scale.md') },
  { slug: 'security', title: 'Security', load: () => import('./security.md') },
  { slug: 'care', title: 'Care', load: () => import('./care.md') },
]
