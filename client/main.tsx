import { render } from 'preact'
import { App } from './app.tsx'
import { restoreAppearance } from './parts/appearance.tsx'
import './style/index.css'

restoreAppearance()
render(<App />, document.getElementById('app') as HTMLElement)
