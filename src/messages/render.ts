/** From a template and its values to the words that are sent. */
import { messages as en } from '../../templates/en.ts'
import { readingGrade } from './reading-age.ts'
import { countSegments, type Encoding, encodingOf, plainPunctuation } from './segments.ts'
import type { MessageTemplate } from './template.ts'

export type TemplateId = keyof typeof en
export type TemplateValues = Readonly<Record<string, string | number | undefined>>
type Catalogue = Readonly<Record<TemplateId, MessageTemplate>>

export const DEFAULT_LANGUAGE = 'en'
const CATALOGUES: Readonly<Record<string, Catalogue>> = { en }

export const LANGUAGES: readonly string[] = Object.keys(CATALOGUES)
export const TEMPLATE_IDS = Object.keys(en) as readonly TemplateId[]

export interface RenderedMessage {
  text: string
  segments: number
  encoding: Encoding
  /** Flesch-Kincaid grade of the words that are sent. */
  readingGrade: number
  /** The language it is in: the default where the one asked for has no texts. */
  language: string
}

const PLACEHOLDER = /\{([A-Za-z][A-Za-z0-9]*)\}/g

export const isTemplateId = (id: string): id is TemplateId => Object.hasOwn(en, id)

/** The template in the language asked for, or in the default language. */
export function templateOf(id: TemplateId, language: string = DEFAULT_LANGUAGE): MessageTemplate {
  const template = (CATALOGUES[language] ?? en)[id] as MessageTemplate | undefined
  if (template === undefined) throw new Error(`There is no message template "${id}".`)
  return template
}

/** Names of the placeholders of a text, each once, in order. */
export const placeholdersOf = (text: string): string[] => [
  ...new Set([...text.matchAll(PLACEHOLDER)].map((match) => match[1] as string)),
]

/**
 * The words that are sent. Braces in a value stay as they are; curly punctuation becomes plain.
 * Throws an Error that names the template and every placeholder without a value.
 */
export function renderMessage(
  id: TemplateId,
  values: TemplateValues,
  language: string = DEFAULT_LANGUAGE,
): RenderedMessage {
  const template = templateOf(id, language)
  const missing = placeholdersOf(template.text).filter((name) => wordsOf(values[name]) === '')
  if (missing.length > 0)
    throw new Error(`The message "${id}" needs a value for ${missing.map((name) => `{${name}}`).join(', ')}.`)
  const text = template.text.replace(PLACEHOLDER, (_, name: string) => wordsOf(values[name]))
  return {
    text,
    segments: countSegments(text),
    encoding: encodingOf(text),
    readingGrade: readingGrade(text),
    language: Object.hasOwn(CATALOGUES, language) ? language : DEFAULT_LANGUAGE,
  }
}

const wordsOf = (value: string | number | undefined): string =>
  value === undefined ? '' : plainPunctuation(String(value)).trim()
