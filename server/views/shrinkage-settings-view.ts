import { adviceWords } from '../../src/shrinkage/advice-words.ts'
import { settingsWords } from '../../src/shrinkage/settings-words.ts'
import { AXES, termsOf } from '../../src/shrinkage/terms.ts'
import { characteristicTitle } from '../../src/words/format.ts'
import type { ReplayView, SettingsPreviewView, ShrinkageSettingsView } from '../contract/shrinkage.ts'
import type { PartNumber } from '../contract/views.ts'
import type { ShrinkageSettings } from '../store/shrinkage-settings.ts'
import type { Store } from '../store/store.ts'
import { writtenOf } from './findings.ts'
import { replayViews } from './replay-views.ts'
import { adviceOn, problemsOf } from './shrinkage-advice.ts'
import { type ShrinkageOnRecord, shrinkageOnRecord, underSettings } from './shrinkage-fit.ts'

/** What other settings would have done to the same record. */
export async function settingsPreviewView(
  store: Store,
  partNumber: PartNumber,
  settings: ShrinkageSettings,
): Promise<SettingsPreviewView> {
  const record = await shrinkageOnRecord(store, partNumber)
  const tried = underSettings(record, settings)
  const { characteristics, builds } = record
  const written = await writtenOf(store, partNumber.id, 'sintered', characteristics, builds)
  const [before, after] = [record, tried].map((each) => replayViews(each, each.settings.adjustment))
  return {
    headline: adviceWords(adviceOn(tried, written).advice).headline,
    axes: AXES.filter((axis) => tried.fit.overall[axis] !== null).map((axis) => ({
      axis,
      words: settingsWords(axis, ...overOneSpan(before?.[axis] ?? null, after?.[axis] ?? null)),
    })),
    problems: problemsOf(tried),
  }
}

/**
 * What the advice would have left under either settings, over the same builds: those that the earlier to act could
 * differ in. Until the other acts, it has them as they were printed.
 */
function overOneSpan(one: ReplayView | null, other: ReplayView | null) {
  const from = Math.min(one?.from ?? Number.POSITIVE_INFINITY, other?.from ?? Number.POSITIVE_INFINITY)
  const ruleOf = (replay: ReplayView | null) => {
    if (replay === null) return null
    const { factors, deviations } = replay.advised
    const own = deviations.slice(from)
    return {
      meanSquare: own.reduce((sum, deviation) => sum + deviation ** 2, 0) / own.length,
      changes: factors.filter((factor, i) => i >= from && factor !== factors[i - 1]).length,
    }
  }
  return [ruleOf(one), ruleOf(other)] as const
}

/** The settings on record, with what every size is taken as by default. */
export function settingsView({
  characteristics,
  partNumber,
  settings,
  settingsVersions,
}: ShrinkageOnRecord): ShrinkageSettingsView {
  const told = new Map(settings.told.map((each) => [each.characteristicId, each]))
  return {
    version: settingsVersions.at(-1)?.version ?? 0,
    adjustment: settings.adjustment,
    sizes: characteristics.flatMap((characteristic) => {
      const byDefault = termsOf(characteristic, partNumber.id)
      if (byDefault === null) return []
      const { along = null, sense = null, counts = true } = told.get(characteristic.id) ?? {}
      return [
        {
          designator: characteristic.designator,
          title: characteristicTitle(characteristic),
          along,
          sense,
          counts,
          byDefault: { along: characteristic.axis ?? 'XY', sense: byDefault.sense },
        },
      ]
    }),
    history: settingsVersions.map(({ version, reason, who, at }) => ({ version, reason, who, at })).reverse(),
  }
}
