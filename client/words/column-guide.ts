/** What a file of measurements says in each column, for whoever prepares one. */
export interface GuideColumn {
  readonly heading: string
  readonly meaning: string
  readonly needed: boolean
}

export const MEASUREMENT_COLUMNS: readonly GuideColumn[] = [
  {
    heading: 'part_number',
    meaning: 'drawing that the part is made to; or name it when the file is handed in',
    needed: true,
  },
  { heading: 'revision', meaning: 'its revision; only where there is more than one', needed: false },
  { heading: 'serial', meaning: 'serial number of the part', needed: true },
  { heading: 'build', meaning: 'print job that the part came from', needed: true },
  { heading: 'characteristic', meaning: 'balloon number on the drawing', needed: true },
  { heading: 'value', meaning: 'what was measured', needed: true },
  { heading: 'unit', meaning: 'mm, in, um or deg; that of the characteristic where left out', needed: false },
  { heading: 'stage', meaning: 'green, sintered or finished; sintered where left out', needed: false },
  { heading: 'measured_at', meaning: 'date and time', needed: false },
  { heading: 'furnace_load, tray, tray_place', meaning: 'where the part was sintered', needed: false },
  { heading: 'bed_x, bed_y, bed_z', meaning: 'place in the bed, mm', needed: false },
  {
    heading: 'bonus, or own_upper_limit',
    meaning: 'where each part has a limit of its own, as at maximum material condition',
    needed: false,
  },
  { heading: 'gauge, inspector', meaning: 'what and who measured', needed: false },
]

/** A file to begin from: the headings and two rows. */
export const MEASUREMENT_EXAMPLE = `part_number,revision,serial,build,furnace_load,characteristic,value,unit,stage,measured_at,gauge,inspector
AB-100,A,S-0001,B-0001,L-0001,1,42.013,mm,sintered,2026-11-24T09:30:00Z,CMM-1,ER
AB-100,A,S-0002,B-0001,L-0001,1,41.998,mm,sintered,2026-11-24T09:31:00Z,CMM-1,ER
`
