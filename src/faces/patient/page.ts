/** What a page of a link is: a view that changes nothing, and an act that is stored before it is read. */
import type { Outcome } from '../../flow/outcome.ts'
import type { Form } from './form.ts'
import type { Sheet } from './frame.ts'
import type { Reader } from './reader.ts'

export type Page = (reader: Reader) => Sheet | Promise<Sheet>

/** What is stored as the patient's reply. */
export interface Posted {
  /** `LINK` where it is left out. */
  transport?: string
  body: string
  /** It answers the link's question; else it is attached to whatever is open, like a text. */
  aboutQuestion: boolean
}

export interface Action {
  /** A sheet where there is nothing to store yet: it says what to mend. */
  read(reader: Reader, fields: Form): Posted | Sheet | Promise<Posted | Sheet>
  /** After it was stored, and read where it could be. */
  after(reader: Reader, outcome: Outcome, fields: Form): Sheet | Promise<Sheet>
}
