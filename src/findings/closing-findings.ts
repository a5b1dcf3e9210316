/** The closing entry of a bounded list of findings; every group's list may need it. */
import type { Catalogue } from './finding'

export const CLOSING = {
  'file/more-findings': {
    severity: 'note',
    message:
      '{surplus:more finding is|more findings are} not listed; in all there are {error:error|errors}, {warning:warning|warnings} and {note:note|notes}.',
    hint: 'Mend the listed ones first, then check again.',
    clause: 'limit of this library',
  },
} as const satisfies Catalogue
