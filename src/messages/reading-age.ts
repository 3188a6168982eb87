/**
 * How hard a text is to read: Flesch-Kincaid grade and reading ease (Kincaid et al. 1975, US Navy).
 * Links, phone numbers and the numbers of a list are not read as words and are left out; any other number
 * counts as one short word.
 */
import { syllable } from 'syllable'

export interface ReadingCounts {
  sentences: number
  words: number
  syllables: number
}

const LINK = /\bhttps?:\/\/\S+/g
const PHONE = /\+?\d[\d ]{5,}\d/g
/** The number of a list item, such as "2." */
const LIST_NUMBER = /(^|\s)\d{1,2}[.)](?=\s)/g
/** An end needs space or the end of the text after it, so that 2.30 and e.g. end nothing; a colon ends nothing. */
const SENTENCE_END = /[.?!]+(?=["')]*(?:\s|$))|\n+/

export function countReading(text: string): ReadingCounts {
  const bare = text.replace(LINK, ' ').replace(PHONE, ' ').replace(LIST_NUMBER, ' ')
  const sentences = bare.split(SENTENCE_END).filter((sentence) => /[\p{L}\p{N}]/u.test(sentence))
  const words = bare.match(/[\p{L}\p{N}]+(?:['.:-][\p{L}\p{N}]+)*/gu) ?? []
  const syllables = words.reduce((sum, word) => sum + Math.max(1, syllable(word)), 0)
  return { sentences: sentences.length, words: words.length, syllables }
}

/** Grade of a US school; negative is possible. 0 for a text without words. */
export function fleschKincaidGrade({ sentences, words, syllables }: ReadingCounts): number {
  return words === 0 ? 0 : 0.39 * (words / sentences) + 11.8 * (syllables / words) - 15.59
}

/** 0 (hard) to about 121 (easy). */
export function fleschReadingEase({ sentences, words, syllables }: ReadingCounts): number {
  return words === 0 ? 121.22 : 206.835 - 1.015 * (words / sentences) - 84.6 * (syllables / words)
}

export const readingGrade = (text: string): number => fleschKincaidGrade(countReading(text))

/** Years: a US grade is met at about the grade and five (common practice, no source). */
export const readingAge = (text: string): number => readingGrade(text) + 5
