import { describe, expect, it } from 'vitest'
import { component, inspection, measurement, qifDocument, readQif } from './document.ts'

describe('a document', () => {
  it('names the drawing, the part, the characteristic, the gauge and the line of the value', async () => {
    const text = qifDocument()
    const { rows, notes } = await readQif(text)
    expect(rows).toEqual([
      {
        line: text.split('\n').findIndex((line) => line.includes('<Value>')) + 1,
        fields: {
          partNumber: 'HB-204',
          revision: 'C',
          partName: 'hinge bracket',
          serial: 'S1',
          characteristic: '2',
          characteristicName: 'Bore',
          kind: 'diameter',
          nominal: '8',
          minusTolerance: '-0.05',
          plusTolerance: '0.05',
          unit: 'mm',
          value: '8.012',
          replicate: '1',
          gauge: 'CMM-2',
        },
      },
    ])
    expect(notes).toEqual(['The file does not say when the parts were measured.'])
  })

  it('is read in version 2.1 and with prefixed names', async () => {
    const two = qifDocument({ version: '2.1.0', namespace: 'http://qifstandards.org/xsd/qif2' })
    expect((await readQif(two)).words).toBe('QIF 2.1.0, UTF-8')
    const prefixed = qifDocument()
      .replaceAll(/<(\/?)([A-Z])/g, '<$1q:$2')
      .replace('xmlns=', 'xmlns:q=')
    expect((await readQif(prefixed)).rows).toEqual((await readQif(qifDocument())).rows)
  })

  it('counts lines whatever they end in', async () => {
    const rows = (await readQif(qifDocument())).rows
    expect((await readQif(qifDocument().replaceAll('\n', '\r\n'))).rows).toEqual(rows)
  })

  it('says when and by whom parts were measured', async () => {
    const results = inspection(
      '<Id>20</Id>',
      measurement('Diameter', '12', '<Value>8.012</Value>'),
      '<InspectionTraceability><InspectionStart>2026-03-02T08:00:00</InspectionStart><InspectionEnd>2026-03-02T08:15:00Z</InspectionEnd><InspectionOperator><Name>M. Doe</Name></InspectionOperator></InspectionTraceability>',
    )
    const { rows, notes } = await readQif(qifDocument({ results }))
    expect(rows[0]?.fields).toMatchObject({ measuredAt: '2026-03-02T08:15:00Z', inspector: 'M. Doe' })
    expect(notes).toEqual([])
  })

  it('says build, load and place where it carries them as attributes under their usual names', async () => {
    const components = component('20', 'S1', {
      Build: '0441',
      'Furnace load': 'L7',
      bed_x: '20.5',
      Stage: 'green',
      Colour: 'grey',
    })
    const { rows } = await readQif(qifDocument({ components }))
    expect(rows[0]?.fields).toMatchObject({ build: '0441', furnaceLoad: 'L7', bedX: '20.5', stage: 'green' })
    expect(Object.values(rows[0]?.fields ?? {})).not.toContain('grey')
  })

  it('numbers inspections of the same part as replicates, and leaves a value said twice in one to the checks', async () => {
    const value = (text: string) => measurement('Diameter', '12', `<Value>${text}</Value>`)
    const results =
      inspection('<Id>20</Id>', value('8.01') + value('8.02')) +
      inspection('<Id>21</Id>', value('8.03')) +
      inspection('<Id>20</Id>', value('8.04'))
    const components = component('20', 'S1') + component('21', 'S2')
    const { rows } = await readQif(qifDocument({ results, components }))
    expect(rows.map(({ fields }) => [fields.serial, fields.replicate, fields.value])).toEqual([
      ['S1', '1', '8.01'],
      ['S1', '1', '8.02'],
      ['S2', '1', '8.03'],
      ['S1', '2', '8.04'],
    ])
  })

  it('gives no serial number where results speak of several parts at once, and says so', async () => {
    const results = inspection(
      '<Id>20</Id><Id>21</Id>',
      measurement('Diameter', '12', '<Value>8.01</Value>') +
        measurement('Diameter', '12', '<ActualComponentId>21</ActualComponentId><Value>8.02</Value>'),
    )
    const components = component('20', 'S1') + component('21', 'S2')
    const { rows, notes } = await readQif(qifDocument({ results, components }))
    expect(rows.map(({ fields }) => fields.serial)).toEqual([undefined, 'S2'])
    expect(notes.some((note) => note.includes('several parts at once') && note.includes('S1, S2'))).toBe(true)
  })
})

describe('units', () => {
  const inch =
    '<SIUnitName>meter</SIUnitName><UnitName>inch</UnitName><UnitConversion><Factor>0.0254</Factor></UnitConversion>'

  it('are those of the file', async () => {
    expect((await readQif(qifDocument({ linearUnit: inch }))).rows[0]?.fields.unit).toBe('in')
    const metre = '<SIUnitName>meter</SIUnitName><UnitName>metre</UnitName>'
    expect((await readQif(qifDocument({ linearUnit: metre }))).rows[0]?.fields.unit).toBe('metre')
  })

  it('of a value that carries its own turn nominal and tolerance exactly', async () => {
    const results = inspection(
      '<Id>20</Id>',
      measurement('Diameter', '12', '<Value linearUnit="in">0.315</Value>'),
    )
    // 8 mm / 25.4 = 0.31496062992…, by hand; 0.05 mm / 25.4 = 0.00196850393…
    const fields = (await readQif(qifDocument({ results }))).rows[0]?.fields
    expect(fields).toMatchObject({ unit: 'in', value: '0.315' })
    expect(fields?.nominal).toMatch(/^0\.31496062992/)
    expect(fields?.minusTolerance).toMatch(/^-0\.00196850393/)
  })

  it('of an angle are degrees', async () => {
    const { rows } = await readQif(
      qifDocument({
        definitions:
          '<AngleCharacteristicDefinition id="10"><Tolerance><MaxValue>3.5</MaxValue><MinValue>2.5</MinValue><DefinedAsLimit>true</DefinedAsLimit></Tolerance></AngleCharacteristicDefinition>',
        nominals:
          '<AngleCharacteristicNominal id="11"><CharacteristicDefinitionId>10</CharacteristicDefinitionId><TargetValue>3</TargetValue></AngleCharacteristicNominal>',
        items:
          '<AngleCharacteristicItem id="12"><Name>Draft</Name><CharacteristicNominalId>11</CharacteristicNominalId></AngleCharacteristicItem>',
        results: inspection('<Id>20</Id>', measurement('Angle', '12', '<Value>3.1</Value>')),
      }),
    )
    expect(rows[0]?.fields).toMatchObject({
      characteristic: 'Draft',
      kind: 'angle',
      unit: 'deg',
      nominal: '3',
      lower: '2.5',
      upper: '3.5',
    })
  })

  it('whose name and factor contradict each other refuse the file', async () => {
    const wrong =
      '<SIUnitName>meter</SIUnitName><UnitName>mm</UnitName><UnitConversion><Factor>0.0254</Factor></UnitConversion>'
    await expect(readQif(qifDocument({ linearUnit: wrong }))).rejects.toThrow(
      /calls its unit mm, but gives it the factor 0\.0254.*: in/,
    )
  })
})

describe('what is passed over', () => {
  it('is said: types without one value, and measurements without any', async () => {
    const { rows, notes } = await readQif(
      qifDocument({
        items:
          '<DiameterCharacteristicItem id="12"><Name>Bore</Name><CharacteristicNominalId>11</CharacteristicNominalId></DiameterCharacteristicItem>' +
          '<ThreadCharacteristicItem id="13"><Name>M6</Name><CharacteristicNominalId>11</CharacteristicNominalId></ThreadCharacteristicItem>',
        results: inspection(
          '<Id>20</Id>',
          measurement('Diameter', '12', '') + measurement('Thread', '13', '<Value>6</Value>'),
        ),
      }),
    )
    expect(rows).toEqual([])
    expect(notes).toContain(
      'Measurements without a value, as of what could not be measured, passed over: Bore.',
    )
    expect(notes).toContain('Values of the type Thread, which has no one length or angle, passed over: M6.')
  })

  it('never joins two characteristics that share a designator', async () => {
    const item = (id: string, name: string) =>
      `<DiameterCharacteristicItem id="${id}"><Name>${name}</Name><CharacteristicDesignator><Designator>2</Designator></CharacteristicDesignator><CharacteristicNominalId>11</CharacteristicNominalId></DiameterCharacteristicItem>`
    const { rows, notes } = await readQif(
      qifDocument({
        items: item('12', 'left') + item('13', 'right'),
        results: inspection(
          '<Id>20</Id>',
          measurement('Diameter', '12', '<Value>8.01</Value>') +
            measurement('Diameter', '13', '<Value>8.02</Value>'),
        ),
      }),
    )
    expect(rows.map(({ fields }) => fields.characteristic)).toEqual(['2 left', '2 right'])
    expect(notes).toContain(
      'Designators that several characteristics share got the name added: 2 left, 2 right.',
    )
  })
})

describe('a file that is refused', () => {
  const refused: readonly (readonly [string, string, RegExp])[] = [
    [
      'with a document type declaration',
      qifDocument({ before: '<!DOCTYPE QIFDocument [<!ENTITY x SYSTEM "file:///etc/hostname">]>\n' }),
      /document type declaration/,
    ],
    [
      'with entities that grow',
      qifDocument({
        before: '<!DOCTYPE QIFDocument [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;&a;">]>\n',
      }).replace('8.012', '&b;'),
      /document type declaration/,
    ],
    ['with an entity nobody defined', qifDocument().replace('8.012', '&x;'), /not well-formed/],
    ['cut off', qifDocument().slice(0, -40), /not well-formed/],
    ['of another kind of XML', '<svg xmlns="http://www.w3.org/2000/svg"/>', /outermost element is <svg>/],
    ['called QIF by its element only', '<QIFDocument/>', /not a QIF document/],
    ['of a version to come', qifDocument({ version: '4.0.0' }), /QIF 4\.0\.0.*versions 2\.1 and 3\.0/],
    ['without results', qifDocument({ results: '' }), /no measured characteristics/],
    [
      'nested without end',
      `${'<a>'.repeat(300)}`.replace('<a>', '<QIFDocument xmlns="http://qifstandards.org/xsd/qif3">'),
      /within one another/,
    ],
  ]
  it.each(refused)('%s says so', async (_, content, message) => {
    await expect(readQif(content)).rejects.toThrow(message)
  })
})
