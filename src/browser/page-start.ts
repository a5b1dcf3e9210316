/** The page in a browser. */
import { startPage, type PageElement, type PageWorker } from './page'

interface Browser {
  readonly document: { getElementById(id: string): PageElement | null; readonly body: PageElement }
  readonly Blob: new (parts: readonly string[], options: { readonly type: string }) => object
  readonly URL: { createObjectURL(blob: object): string }
  readonly Worker: new (address: string) => PageWorker
}

const { document, Blob, URL, Worker } = globalThis as unknown as Browser
const addressOf = (text: string, type: string): string => URL.createObjectURL(new Blob([text], { type }))
const worker = addressOf(document.getElementById('worker')?.textContent ?? '', 'text/javascript')

startPage({
  element: (id) => (id === 'all' ? document.body : document.getElementById(id)!),
  startWorker: () => new Worker(worker),
  addressOf: (html) => addressOf(html, 'text/html'),
})
