import type { RouteCall } from '../../server/access/route-roles.ts'

const PART = '/api/part-numbers/:number/:revision'

/**
 * Calls that buttons need, as the table of routes and roles names them: who may not make the call does not see the
 * button.
 */
export const CALLS = {
  bring: 'POST /api/imports',
  withdraw: 'POST /api/imports/:id{[0-9]+}/withdraw',
  changeStudy: `POST ${PART}/characteristics/:designator/study`,
  leaveOut: `POST ${PART}/characteristics/:designator/exclusions`,
  takeBack: `POST ${PART}/exclusions/taken-back`,
  writeFinding: `POST ${PART}/findings`,
  writeRemark: `POST ${PART}/remarks`,
  decideFactors: `POST ${PART}/shrinkage/decisions`,
  takeFactorsBack: `POST ${PART}/shrinkage/decisions/:decision{[0-9]+}/taken-back`,
  changeShrinkage: `POST ${PART}/shrinkage/settings`,
  enterGauge: 'POST /api/gauges/register/:gauge',
  planGaugeStudy: 'POST /api/gauges/plans',
  decideRequirements: `POST ${PART}/requirements`,
  makeReport: `POST ${PART}/report`,
  inviteGuests: 'POST /api/reports/:report{[0-9]+}/guest-links',
  erase: 'POST /api/record/erasures',
  letPeopleIn: 'POST /api/people',
  takeSample: 'POST /api/sample-shop',
} as const satisfies Readonly<Record<string, RouteCall>>
