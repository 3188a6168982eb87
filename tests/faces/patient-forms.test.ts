/** What a link's pages send, back and forth, and what the reader makes of a check's choices. */
import { fc, test as property } from '../support/property.ts'
import { expect, test } from 'vitest'
