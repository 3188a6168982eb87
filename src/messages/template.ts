/** What a message text is, and which words each caution needs. */

/** Words that a text must hold where its template names the caution; each is a sign that a test can look for. */
export const CAUTIONS = {
  'no-drops':
    /\b(use no (more )?(ear drops|of them)|no (more )?(ear )?drops|use no more of them|do not use them|stop any ear drops)\b/i,
  'stop-drops':
    /\bstop if you get pain, feel dizzy or see fluid[^.]*, and tell us\b|\bpain, dizzy spell or fluid\? stop and tell us\b/i,
  'hole-in-drum': /\bhole in the eardrum\b/i,
  'not-emergency': /\bnot an emergency service\b/i,
  'emergency-number': /\bcall \{emergencyNumber\}|\{emergencyNumber\} if\b/i,
  'urgent-number': /\bcall \{urgentNumber\}/i,
  'next-look': /\{readBy\}|\{nextLook\}/,
  'text-relay': /\btext relay\b/i,
  'how-to-stop': /\breply STOP\b/,
} as const satisfies Readonly<Record<string, RegExp>>
export type Caution = keyof typeof CAUTIONS

export interface MessageTemplate {
  /** When it is sent, for those who review it. */
  purpose: string
  audience: 'patient' | 'staff'
  /** The words, with {placeholders}. */
  text: string
  cautions: readonly Caution[]
  /** Why the words are as they are. */
  safety: string
  /** The licensed clinician who has read the text, or null. */
  reviewed: string | null
  /** Fits one part with a usual clinic name and link. */
  oneSegment?: true
}

export type TemplateValues = Readonly<Record<string, string | number | undefined>>

const PLACEHOLDER = /\{([A-Za-z][A-Za-z0-9]*)\}/g

/** Names of the placeholders of a text, each once, in order. */
export const placeholdersOf = (text: string): string[] => [
  ...new Set([...text.matchAll(PLACEHOLDER)].map((match) => match[1] as string)),
]

const wordsOf = (value: string | number | undefined): string =>
  value === undefined ? '' : String(value).trim()

/**
 * The text with its placeholders filled; braces in a value stay as they are.
 * Throws an Error that names the text (as `called`) and every placeholder without a value.
 */
export function fill(text: string, values: TemplateValues, called: string): string {
  const missing = placeholdersOf(text).filter((name) => wordsOf(values[name]) === '')
  if (missing.length > 0)
    throw new Error(`${called} needs a value for ${missing.map((name) => `{${name}}`).join(', ')}.`)
  return text.replace(PLACEHOLDER, (_, name: string) => wordsOf(values[name]))
}
