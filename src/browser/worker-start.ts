/** The worker of the page: what is answered while the page stays free. */
import { answer, type Answer, type Question } from './answer'

interface WorkerHost {
  onmessage: ((event: { readonly data: Question }) => void) | null
  postMessage(answer: Answer): void
}

const host = globalThis as unknown as WorkerHost
host.onmessage = ({ data }) => answer(data, (each) => host.postMessage(each))
