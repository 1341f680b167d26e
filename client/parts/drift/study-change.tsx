import { useEffect, useState } from 'preact/hooks'
import type { StudyPreview } from '../../../server/contract/decisions.ts'
import type { StudyChangeRequest } from '../../../server/contract/requests.ts'
import type { ChartView, TimelineBuild } from '../../../server/contract/views.ts'
import { studyAddress } from '../../data/addresses.ts'
import { send } from '../../data/decide.ts'
import { type Problem, problemOf } from '../../data/http.ts'
import { DecisionForm, type DecisionFormProps } from '../decision-form.tsx'
import { ProblemNotice } from '../notice.tsx'
import { PreviewFigures } from './preview-figures.tsx'

interface StudyChangeProps extends Pick<DecisionFormProps, 'title' | 'submit' | 'children' | 'onClose'> {
  readonly view: ChartView
  readonly builds: readonly TimelineBuild[]
  /** What is to be changed, as it stands in the form. */
  readonly change: StudyChangeRequest
}

/** A change of a study with what it would do in sight, before it is decided. */
export function StudyChange({ view, builds, change, ...form }: StudyChangeProps) {
  const { partNumber, characteristic, stage } = view
  const [preview, setPreview] = useState<StudyPreview | null>(null)
  const [problem, setProblem] = useState<Problem | null>(null)
  const [turn, setTurn] = useState(0)
  const asked = JSON.stringify(change)
  useEffect(() => {
    let wanted = true
    const body = { change: JSON.parse(asked) as StudyChangeRequest }
    send<StudyPreview>(studyAddress(partNumber, characteristic.designator, stage, true), body).then(
      (answer) => {
        if (!wanted) return
        setPreview(answer)
        setProblem(null)
      },
      (error: unknown) => {
        if (!wanted) return
        setPreview(null)
        setProblem(problemOf(error))
      },
    )
    return () => {
      wanted = false
    }
  }, [asked, turn, characteristic.id, stage])
  return (
    <DecisionForm
      {...form}
      reason="Why"
      ready={preview !== null}
      onStale={() => setTurn(turn + 1)}
      send={({ who, reason }) =>
        send(studyAddress(partNumber, characteristic.designator, stage), {
          version: preview?.version ?? view.study.version,
          change,
          who,
          reason,
        })
      }
    >
      {form.children}
      {problem !== null && <ProblemNotice problem={problem} />}
      {problem === null && preview === null && <p class="quiet">Working out what it would change …</p>}
      {preview !== null && <PreviewFigures view={view} builds={builds} preview={preview} />}
    </DecisionForm>
  )
}
