import type { Characteristic } from '../domain/characteristic.ts'
import { characteristicTitle, formatNumber, meanDecimals } from '../words/format.ts'
import type { Sentence } from '../words/sentence.ts'
import { unitText } from '../words/unit.ts'
import type { Conformity } from './conformity.ts'

/** What a conformity decision means, in one sentence. */
export function conformityWords(
  characteristic: Characteristic,
  value: number,
  expanded: number,
  { decision, probability }: Conformity,
): Sentence {
  const decimals = meanDecimals(characteristic)
  const measured = `${characteristicTitle(characteristic)} measures ${formatNumber(value, decimals)} ± ${formatNumber(expanded, decimals)} ${unitText(characteristic.unit)} (k = 2)`
  switch (decision) {
    case 'conforming':
      return [
        { text: `${measured} and ` },
        { text: 'is proved to conform', role: 'strong' },
        { text: `. ${CAUTION}` },
      ]
    case 'not conforming':
      return [
        { text: `${measured} and ` },
        { text: 'is proved not to conform', role: 'mark' },
        { text: `. ${CAUTION}` },
      ]
    case 'inside the uncertainty':
      return [
        { text: `${measured}, which ` },
        { text: 'proves neither', role: 'strong' },
        {
          text: `: from this reading alone it conforms with probability ${formatNumber(probability, 2)}. ${CAUTION}`,
        },
      ]
  }
}

const CAUTION =
  'This supports, and does not replace, the judgement of whoever is responsible; the drawing and the customer’s requirements govern.'
