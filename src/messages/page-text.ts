/** Fills a page text. Pages escape what they show, so nothing is escaped here. */
import { placeholdersOf, type TemplateValues } from './render.ts'

/** Throws an Error that names the text and the placeholder without a value. */
export function pageText(text: string, values: TemplateValues = {}): string {
  const missing = placeholdersOf(text).filter((name) => values[name] === undefined || values[name] === '')
  if (missing.length > 0)
    throw new Error(
      `The page text "${text}" needs a value for ${missing.map((name) => `{${name}}`).join(', ')}.`,
    )
  return text.replace(/\{([A-Za-z][A-Za-z0-9]*)\}/g, (_, name: string) => String(values[name]))
}
