import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Meaning } from '../../../../server/intake/meaning.ts'
import { openQif } from '../../../../server/intake/qif/qif-file.ts'

/** Pieces of a small document; what is not given is as in a plain one. */
export interface Pieces {
  readonly version?: string
  readonly namespace?: string
  readonly linearUnit?: string
  readonly definitions?: string
  readonly nominals?: string
  readonly items?: string
  readonly results?: string
  readonly components?: string
  readonly before?: string
}

const MM =
  '<SIUnitName>meter</SIUnitName><UnitName>mm</UnitName><UnitConversion><Factor>0.001</Factor></UnitConversion>'

/** Invented results of one bore, one value on one part, written by the schema's order of elements. */
export function qifDocument(pieces: Pieces = {}): string {
  const { version = '3.0.0', namespace = 'http://qifstandards.org/xsd/qif3' } = pieces
  return `<?xml version="1.0" encoding="UTF-8"?>
${pieces.before ?? ''}<QIFDocument xmlns="${namespace}" versionQIF="${version}" idMax="99">
  <FileUnits><PrimaryUnits>
    <AngularUnit><SIUnitName>radian</SIUnitName><UnitName>degree</UnitName><UnitConversion><Factor>0.017453292519943</Factor></UnitConversion></AngularUnit>
    <LinearUnit>${pieces.linearUnit ?? MM}</LinearUnit>
  </PrimaryUnits></FileUnits>
  <MeasurementResources><MeasurementDevices n="1"><MeasurementDevice id="1"><Name>CMM-2</Name></MeasurementDevice></MeasurementDevices></MeasurementResources>
  <Product>
    <PartSet n="1"><Part id="2"><Name>hinge bracket</Name><ModelNumber>HB-204</ModelNumber><Version>C</Version></Part></PartSet>
    <ComponentSet n="1"><Component id="3"><Part><Id>2</Id></Part></Component></ComponentSet>
    <AsmPaths n="1"><AsmPath id="4"><ComponentIds n="1"><Id>3</Id></ComponentIds></AsmPath></AsmPaths>
  </Product>
  <Characteristics>
    <CharacteristicDefinitions>${
      pieces.definitions ??
      '<DiameterCharacteristicDefinition id="10"><Tolerance><MaxValue>0.05</MaxValue><MinValue>-0.05</MinValue><DefinedAsLimit>false</DefinedAsLimit></Tolerance></DiameterCharacteristicDefinition>'
    }</CharacteristicDefinitions>
    <CharacteristicNominals>${
      pieces.nominals ??
      '<DiameterCharacteristicNominal id="11"><CharacteristicDefinitionId>10</CharacteristicDefinitionId><TargetValue>8</TargetValue></DiameterCharacteristicNominal>'
    }</CharacteristicNominals>
    <CharacteristicItems>${
      pieces.items ??
      '<DiameterCharacteristicItem id="12"><Name>Bore</Name><CharacteristicDesignator><Designator>2</Designator></CharacteristicDesignator><MeasurementDeviceIds><Id>1</Id></MeasurementDeviceIds><CharacteristicNominalId>11</CharacteristicNominalId></DiameterCharacteristicItem>'
    }</CharacteristicItems>
  </Characteristics>
  <Results>
    <MeasurementResultsSet>${
      pieces.results ?? inspection('<Id>20</Id>', measurement('Diameter', '12', '<Value>8.012</Value>'))
    }
    </MeasurementResultsSet>
    <ActualComponentSets><ActualComponentSet>${pieces.components ?? component('20', 'S1')}</ActualComponentSet></ActualComponentSets>
  </Results>
</QIFDocument>
`
}

export function measurement(type: string, itemId: string, rest: string): string {
  return `
<${type}CharacteristicMeasurement id="30">
<Status><CharacteristicStatusEnum>PASS</CharacteristicStatusEnum></Status>
<CharacteristicItemId>${itemId}</CharacteristicItemId>
${rest}
</${type}CharacteristicMeasurement>`
}

export function inspection(componentIds: string, measurements: string, rest = ''): string {
  return `<MeasurementResults id="40"><MeasuredCharacteristics><CharacteristicMeasurements>${measurements}</CharacteristicMeasurements></MeasuredCharacteristics><ActualComponentIds>${componentIds}</ActualComponentIds>${rest}</MeasurementResults>`
}

export function component(id: string, serial: string, attributes: Readonly<Record<string, string>> = {}) {
  const named = Object.entries(attributes).map(([k, v]) => `<AttributeStr name="${k}" value="${v}"/>`)
  const all = named.length === 0 ? '' : `<Attributes n="${named.length}">${named.join('')}</Attributes>`
  return `<ActualComponent id="${id}">${all}<SerialNumber>${serial}</SerialNumber><AsmPathId>4</AsmPathId></ActualComponent>`
}

export interface ReadRow {
  readonly line: number
  readonly fields: Readonly<Partial<Record<Meaning, string>>>
}

/** Every row of a document with its fields that are not empty, and the notes. */
export async function readQif(content: string): Promise<{ rows: ReadRow[]; notes: string[]; words: string }> {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-qif-'))
  try {
    const path = join(folder, 'results.qif')
    writeFileSync(path, content)
    return await readQifFile(path)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

export async function readQifFile(path: string) {
  const file = await openQif(path, 'UTF-8', () => undefined)
  if (file === null) throw new Error('not recognised')
  const rows: ReadRow[] = []
  for await (const piece of file.rows()) {
    piece.rows.forEach((row, i) => {
      const fields: Partial<Record<Meaning, string>> = {}
      file.dialect.columns.meanings.forEach((meaning, at) => {
        if (meaning !== null && row[at] !== '') fields[meaning] = row[at] as string
      })
      rows.push({ line: piece.lines[i] as number, fields })
    })
  }
  return { rows, notes: file.notes(), words: file.inWords }
}
