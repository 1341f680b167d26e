import type { ShrinkageView } from '../../../server/contract/shrinkage.ts'
import type { Axis } from '../../../src/domain/characteristic.ts'
import { ReplayChart } from '../../../src/figures/replay-chart.tsx'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import { replayWords } from '../../../src/shrinkage/replay-words.ts'
import { REPLAY_RULES, replayTable } from '../../words/shrinkage-tables.ts'
import { Words } from '../sentence.tsx'
import { StillFigure } from '../still-figure.tsx'

/** The same builds under other rules for the scale factor. */
export function ReplaySection({ view, axis }: { view: ShrinkageView; axis: Axis }) {
  const chosen = view.axes.find((each) => each.axis === axis)
  const replay = chosen?.replay ?? null
  if (chosen === undefined || replay === null) return null
  const to = view.builds.length - 1
  const from = replay.positions[replay.from] ?? 0
  const rows = REPLAY_RULES.map(([rule, name]) => ({ name, ...replay[rule] }))
  const played = { count: replay.positions.length - replay.from, first: view.builds[from]?.name ?? '' }
  return (
    <section>
      <h2>Why not correct on every build?</h2>
      <p class="lead">
        <Words sentence={replayWords(axis, played, replay.advised, replay.everyBuild)} />
      </p>
      <p class="quiet">
        {`The same builds, printed again on paper. Each row is the deviation from nominal of each build’s axis, had the factor followed that rule; ${replay.delay === 1 ? 'one build is' : `${replay.delay} builds are`} already printed when measurements arrive, and the advice is taken as if every signal had been explained at once.`}
      </p>
      <StillFigure
        name="replay"
        title={`${view.partNumber.number} rev ${view.partNumber.revision}, rules for scale factor ${axis}`}
        draw={(palette, width) => (
          <ReplayChart
            rows={rows}
            positions={replay.positions}
            layout={timelineLayout(width, from, to)}
            buildNames={view.builds.map((build) => build.name)}
            palette={palette}
            label={`Deviation from nominal along ${axis} as printed, as advised, and corrected on every build`}
          />
        )}
        table={() => replayTable(view, chosen, replay)}
        from={[view, axis]}
      />
    </section>
  )
}
