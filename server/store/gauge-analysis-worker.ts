import { gaugeStudy } from '../../src/gauges/gauge-study.ts'
import { serveOrders } from '../threads/serve-orders.ts'
import type { GaugeAnalysisOrder } from './gauge-analysis.ts'

/** The thread that large likelihood studies of gauges are analysed on. */
serveOrders<GaugeAnalysisOrder>(
  async ({ readings, settings }) => gaugeStudy(readings, settings),
  () => null,
)
