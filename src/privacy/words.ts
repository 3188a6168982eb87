/** The report of an erasure in plain lines: for the patient's letter. */
import type { Erasure } from './erase.ts'

export function erasureLines({ whole, erased, kept, keptUntil }: Erasure): string[] {
  return [
    whole
      ? 'Everything but the record of who saw it was erased.'
      : 'Erased, as far as the record of care allows.',
    ...erased.map(({ title, rows, why }) => `- erased: ${title} (${rows}). ${why}`),
    ...kept.map(({ title, rows, why }) => `- kept: ${title} (${rows}). ${why}`),
    ...(keptUntil ? [`What is kept goes on ${keptUntil}, if nothing more happens until then.`] : []),
    'Backups made before today run out within 14 days. After a restore from one of them, erase again.',
    'The clinic’s booking system holds the patient as well: erase there too, or the next import brings them back.',
  ]
}
