import type { CatalogueEntry } from '../src/index'

/** The whole page for a catalogue. */
export function findingsPage(catalogue: Readonly<Record<string, CatalogueEntry>>): string
