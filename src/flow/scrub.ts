/** Takes out of a patient's words what says who they are. Pure. */

// Names that are ordinary words too: taken out only where they are written as a name.
const WORDS_TOO = new Set(
  'art bill dale dawn dean drew earl faith fern frank gene grace hazel heather holly hope iris ivy jack joy june lily mark may miles olive pat pearl ray rob rose ruby sandy sue violet will young hill wood field long short best moss marsh cole stone brook'.split(
    ' ',
  ),
)

const PARTICLES = new Set([
  'mr',
  'mrs',
  'ms',
  'miss',
  'dr',
  'prof',
  'de',
  'la',
  'van',
  'von',
  'of',
  'the',
  'and',
])

/** Names (each a whole name or a part of one), telephone numbers, addresses of mail and of pages, postcodes. */
export function scrub(text: string, names: readonly string[]): string {
  const parts = [
    ...new Set(
      names
        .flatMap((name) => name.split(/[^\p{L}'-]+/u))
        .filter((part) => part.length >= 2 && !PARTICLES.has(part.toLowerCase())),
    ),
  ].toSorted((a, b) => b.length - a.length)
  const withoutNames = parts.reduce(
    (rest, part) =>
      rest.replace(new RegExp(`(?<![\\p{L}\\p{N}])${part}(?![\\p{L}\\p{N}])`, 'giu'), (found) =>
        isOrdinary(part) && found === found.toLowerCase() ? found : '[name]',
      ),
    text
      .replace(/[^\s@<>]+@[^\s@<>]+\.[\p{L}\p{N}-]+/gu, '[address]')
      .replace(/\bhttps?:\/\/\S+/giu, '[address]'),
  )
  return withoutNames
    .replace(/(?:\+|\b)\d(?:[\s().-]*\d){7,}/gu, '[number]')
    .replace(/\b[A-Z]{1,2}\d[A-Z\d]? ?\d[A-Z]{2}\b/giu, '[place]')
    .replace(
      /\b((?:[Mm]y name is|[Mm]y name's|[Tt]his is|[Ii]t is|[Ii]t's)\s+)(?!The\b|A\b|I\b|My\b|Not\b)\p{Lu}\p{Ll}{2,}/gu,
      '$1[name]',
    )
}

const isOrdinary = (part: string): boolean => WORDS_TOO.has(part.toLowerCase())
