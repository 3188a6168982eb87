/** Letters in their plainest form, for the third reader's words. */
const letterOrDigit = /[\p{L}\p{Nd}]/u

export const isPlain = (ch: string) => (ch >= 'a' && ch <= 'z') || (ch >= '0' && ch <= '9')
/** What parts words. */
export const BREAK = ' '

/** A letter or digit in its plainest form, nothing for a mark upon a letter, `BREAK` for all else. */
export function fold(ch: string): string {
  const low = ch
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .toLowerCase()
  return low === '' || letterOrDigit.test(low) ? low : BREAK
}
