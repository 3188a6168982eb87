/** Passwords: argon2id, no rule about kinds of characters, none that is easily guessed. */
import { type Algorithm, hash, verify } from '@node-rs/argon2'
import { ZxcvbnFactory } from '@zxcvbn-ts/core'
import { adjacencyGraphs, dictionary } from '@zxcvbn-ts/language-common'

// OWASP Password Storage Cheat Sheet: argon2id with 19 MiB, two passes, one lane.
const argon = { algorithm: 2 as Algorithm.Argon2id, memoryCost: 19_456, timeCost: 2, parallelism: 1 }

export const PASSWORD_LENGTH = { least: 12, most: 128 }
/** Guesses that a password must withstand, as a power of ten. */
const GUESSES_LOG10 = 10

export const hashPassword = (password: string) => hash(password, argon)

// Made at start: nobody's password, but as slow to check as anybody's.
const dummy = hash('nobody has this password', argon)

/** Takes as long for an account without a password, or without an account. */
export async function verifyPassword(stored: string | null | undefined, password: string): Promise<boolean> {
  const right = await verify(stored ?? (await dummy), password)
  return right && stored !== null && stored !== undefined
}

let estimator: ZxcvbnFactory | undefined
const estimate = () =>
  (estimator ??= new ZxcvbnFactory({
    dictionary,
    graphs: adjacencyGraphs,
    maxLength: PASSWORD_LENGTH.most,
  }))

/** Words of our own trade and name that everybody would try first. */
export const CONTEXT_WORDS = ['foreaft', 'clinic', 'earwax', 'suction', 'hearing', 'password', 'welcome']

/** @returns what is wrong with it in one sentence, or undefined; `own` are the person's and clinic's words */
export function passwordTrouble(password: string, own: string[]): string | undefined {
  const length = [...password].length
  if (length < PASSWORD_LENGTH.least) return `Use at least ${PASSWORD_LENGTH.least} characters.`
  if (length > PASSWORD_LENGTH.most) return `Use at most ${PASSWORD_LENGTH.most} characters.`
  const words = [...own, ...CONTEXT_WORDS]
    .flatMap((text) => text.toLowerCase().split(/[^\p{L}\p{N}]+/u))
    .filter((word) => word.length >= 4)
  const rest = words.reduce((text, word) => text.replaceAll(word, ''), password.toLowerCase())
  const easy = estimate().check(password, words).guessesLog10 < GUESSES_LOG10
  if (easy || rest.length < 8)
    return 'That would be guessed quickly. Four or five words that have nothing to do with each other are good.'
  return undefined
}
