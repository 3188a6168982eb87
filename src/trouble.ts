/** A fault that the person at the keyboard can mend: shown as one sentence, without a stack. */
export class Trouble extends Error {
  override name = 'Trouble'
}

/** The one-line words of any thrown value. */
export function wordsOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error)
}
