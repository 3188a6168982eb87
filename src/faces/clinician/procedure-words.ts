/** The procedure record in the trade's plain words. */
import type { EarRecord } from '../../aftercare/record.ts'

export const RECORD_WORDS = {
  found: {
    'soft-wax': 'Soft wax',
    'hard-wax': 'Hard wax',
    'skin-plug': 'Dead-skin plug',
    'foreign-body': 'Foreign body',
    discharge: 'Discharge',
    'dark-specks': 'Dark specks (may be fungal)',
    'hollowed-face': 'Smooth hollowed face (something pushed in)',
  },
  softness: { soft: 'Soft', firm: 'Firm', 'hard-and-dry': 'Hard and dry' },
  methods: { suction: 'Suction', instrument: 'Hook or other instrument', irrigation: 'Irrigation' },
  result: { cleared: 'Cleared', 'part-cleared': 'Part-cleared', 'not-cleared': 'Not cleared' },
  canal: { normal: 'Normal', sore: 'Sore', grazed: 'Grazed', bleeding: 'Bleeding' },
  drum: {
    normal: 'Normal',
    inflamed: 'Inflamed',
    'skin-adherent': 'Skin stuck to it',
    perforated: 'A hole in it',
    'healed-perforation': 'A healed hole',
    'not-seen': 'Not seen',
  },
  felt: {
    nothing: 'Nothing',
    discomfort: 'Discomfort',
    pain: 'Pain',
    dizzy: 'Dizzy',
    coughed: 'Coughed',
    faint: 'Faint',
  },
} as const satisfies Record<string, Record<string, string>>

const listed = (words: Record<string, string>, chosen: readonly string[]): string =>
  chosen.map((one) => (words[one] ?? one).toLowerCase()).join(', ')

/** "Found: hard wax, hard and dry. By suction: part-cleared. Canal sore. Drum not seen. ..." */
export function recordSentences(record: EarRecord): string {
  const { found, softness, methods, result, canal, drum, felt, advice } = record
  const words = RECORD_WORDS
  return [
    `Found: ${found.length > 0 ? listed(words.found, found) : 'nothing to remove'}; on arrival ${words.softness[softness].toLowerCase()}.`,
    `${methods.length > 0 ? `By ${listed(words.methods, methods)}` : 'Nothing used'}: ${words.result[result].toLowerCase()}.`,
    `Canal: ${listed(words.canal, canal)}. Drum: ${words.drum[drum].toLowerCase()}.`,
    `The patient felt: ${listed(words.felt, felt)}.`,
    advice ? `Advice: ${advice}` : '',
  ]
    .filter(Boolean)
    .join(' ')
}
