import { useState } from 'preact/hooks'
import { Choice } from './choice.tsx'

type Appearance = 'system' | 'light' | 'dark'

const KEY = 'as-sintered appearance'

/** Sets the page light or dark as chosen before; to be called before the first drawing. */
export function restoreAppearance(): void {
  apply(stored())
}

function stored(): Appearance {
  try {
    const value = localStorage.getItem(KEY)
    return value === 'light' || value === 'dark' ? value : 'system'
  } catch {
    return 'system'
  }
}

function apply(appearance: Appearance): void {
  if (appearance === 'system') delete document.documentElement.dataset.appearance
  else document.documentElement.dataset.appearance = appearance
}

/** Light, dark, or as the system has it. */
export function AppearanceChoice() {
  const [appearance, setAppearance] = useState(stored)
  const pick = (next: Appearance) => {
    apply(next)
    setAppearance(next)
    try {
      localStorage.setItem(KEY, next)
    } catch {
      // Kept for this page alone where the browser keeps nothing.
    }
  }
  return (
    <Choice
      legend="Appearance"
      name="appearance"
      value={appearance}
      options={[
        { value: 'system', text: 'as the system' },
        { value: 'light', text: 'light' },
        { value: 'dark', text: 'dark' },
      ]}
      onPick={pick}
    />
  )
}
