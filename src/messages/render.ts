/** From a template and its values to the words that are sent. */
import { messages as en } from '../../templates/en.ts'
import { readingGrade } from './reading-age.ts'
import { countSegments, type Encoding, encodingOf, plainPunctuation } from './segments.ts'
import { fill, type MessageTemplate, type TemplateValues } from './template.ts'

export type { TemplateValues }
export type TemplateId = keyof typeof en
type Catalogue = Readonly<Record<TemplateId, MessageTemplate>>

export const DEFAULT_LANGUAGE = 'en'
const CATALOGUES: Readonly<Record<string, Catalogue>> = { en }

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

/** The language whose texts serve a tag such as "en-GB": its own, or the default. */
export function languageFor(tag: string): string {
  const language = tag.toLowerCase().split('-')[0] ?? ''
  return Object.hasOwn(CATALOGUES, language) ? language : DEFAULT_LANGUAGE
}

/** The template in the language asked for, or in the default language. */
export function templateOf(id: TemplateId, language: string = DEFAULT_LANGUAGE): MessageTemplate {
  const catalogue = CATALOGUES[languageFor(language)] as Catalogue
  if (!Object.hasOwn(catalogue, id)) throw new Error(`There is no message template "${id}".`)
  return catalogue[id]
}

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
  const text = plainPunctuation(fill(template.text, values, `The message "${id}"`))
  return {
    text,
    segments: countSegments(text),
    encoding: encodingOf(text),
    readingGrade: readingGrade(text),
    language: languageFor(language),
  }
}

/** A page text with its values. Pages escape what they show, so nothing is escaped here. */
export const pageText = (text: string, values: TemplateValues = {}): string =>
  fill(text, values, `The page text "${text}"`)
