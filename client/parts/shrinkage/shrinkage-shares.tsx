import type { SharesView, ShrinkageView } from '../../../server/contract/shrinkage.ts'
import type { Axis } from '../../../src/domain/characteristic.ts'
import { PlaceEffectsMap } from '../../../src/figures/place-effects-map.tsx'
import { SharesChart, sharesWords } from '../../../src/figures/shares-chart.tsx'
import { SplitChart } from '../../../src/figures/split-chart.tsx'
import type { PlaceEffects } from '../../../src/shrinkage/place-effects.ts'
import { varianceWords } from '../../../src/shrinkage/variance-sources.ts'
import { formatCount } from '../../../src/words/format.ts'
import { useResource } from '../../data/resource.ts'
import { sharesAddress } from '../../data/shrinkage-addresses.ts'
import { conditionSplitTable, placesTable, sharesTable } from '../../words/shrinkage-tables.ts'
import { Reading } from '../notice.tsx'
import { StillFigure } from '../still-figure.tsx'

/** What the variance of shrinkage goes with. */
export function Shares({ view, axis }: { view: ShrinkageView; axis: Axis }) {
  const resource = useResource<SharesView>(sharesAddress(view.partNumber))
  const own = resource.value?.axes.find((each) => each.axis === axis) ?? null
  const shares = own?.shares ?? []
  return (
    <section>
      <h2>{`What the variance along ${axis} goes with`}</h2>
      <Reading resource={resource} what="single values" />
      {resource.value !== null && (
        <>
          {shares.length > 0 && <p class="lead">{sharesWords(shares)}</p>}
          <p class="quiet">
            {`Shares of all variance of shrinkage, one condition at a time: what two conditions hold in common both claim, so shares do not add up. Places and trays are from ${formatCount(resource.value.sample.values)} single values of ${resource.value.sample.builds === resource.value.sample.ofBuilds ? `all ${resource.value.sample.ofBuilds} builds` : `the last ${resource.value.sample.builds} of ${resource.value.sample.ofBuilds} builds`}; at most ${formatCount(resource.value.sample.most)} are read.`}
          </p>
          {shares.length === 0 ? (
            <p>No recorded condition varies.</p>
          ) : (
            <StillFigure
              name="shares"
              title={`${view.partNumber.number} rev ${view.partNumber.revision}, what the variance along ${axis} goes with`}
              draw={(palette, width) => (
                <SharesChart
                  shares={shares}
                  width={Math.min(width, 1000)}
                  palette={palette}
                  label={`Share of the variance of shrinkage along ${axis} by condition`}
                />
              )}
              table={() => sharesTable(resource.value as SharesView)}
              from={[resource.value, axis]}
            />
          )}
          {own !== null && own.splits.length > 0 && (
            <>
              <p class="quiet">
                Shrinkage of builds by what they were run with, beside the mean of the groups, with 95 %
                intervals.
              </p>
              <StillFigure
                name="conditions-split"
                title={`${view.partNumber.number} rev ${view.partNumber.revision}, shrinkage along ${axis} by what builds were run with`}
                draw={(palette, width) => (
                  <SplitChart
                    splits={own.splits}
                    unit="% of shrinkage"
                    decimals={3}
                    width={Math.min(width, 1100)}
                    palette={palette}
                    label={`Shrinkage along ${axis} of builds by powder lot, reuse and furnace, against their mean`}
                  />
                )}
                table={() => conditionSplitTable(own)}
                from={[own]}
              />
            </>
          )}
          {own !== null && own.sources.length > 0 && <p>{varianceWords(axis, own.sources)}</p>}
          {own !== null && own.places !== null && (
            <>
              <p class="quiet">
                {`Lasting effects of the places of ${formatCount(own.places.parts)} parts, all kinds at once, each drawn towards the mean by as much as its parts leave it in doubt.`}
              </p>
              <StillFigure
                name="places"
                title={`${view.partNumber.number} rev ${view.partNumber.revision}, size along ${axis} by place`}
                draw={(palette, width) => (
                  <PlaceEffectsMap
                    places={own.places as PlaceEffects}
                    width={Math.min(width, 1000)}
                    palette={palette}
                    label={`Lasting effects of place in plan, height and tray on size along ${axis}`}
                  />
                )}
                table={() => placesTable(own)}
                from={[own]}
              />
            </>
          )}
        </>
      )}
    </section>
  )
}
