/** Numbers and addresses in the one form in which they are stored and looked up. */
import { type CountryCode, parsePhoneNumberFromString } from 'libphonenumber-js'

/** E.164, or a lower-case address; text that is neither stays as it came, trimmed. */
export function plainContact(text: string, region: string): string {
  const trimmed = text.normalize('NFC').trim()
  if (trimmed.includes('@')) return trimmed.toLowerCase()
  return parsePhoneNumberFromString(trimmed, region as CountryCode)?.number ?? trimmed
}
