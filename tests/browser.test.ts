/** The page for the bench, its worker, and the one file that the build makes of them. */
import { execFileSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { createContext, runInContext } from 'node:vm'
import { describe, expect, test } from 'vitest'
import { answer, type Answer, type Question } from '../src/browser/answer'
import { startPage, type PageElement, type PageEvent, type PageFile, type PageHost } from '../src/browser/page'
import { pageHtml } from '../src/browser/page-html'
import { readPages, root } from './pages'

const bytesOf = (path: string): Uint8Array => new Uint8Array(readFileSync(join(root, 'vectors', path)))
const EXAMPLE = { name: 'example.jed', bytes: bytesOf('published/jesd3a-14l4.jed') }
const FLIPPED = { name: 'flipped.jed', bytes: bytesOf('demo/example-one-fuse-flipped.jed') }
const GAUGE = { name: 'gauge.jed', bytes: bytesOf('demo/tide-gauge-16v8.jed') }

function answersOf(question: Question): Answer[] {
  const answers: Answer[] = []
  answer(question, (each) => answers.push(each))
  return answers
}

describe('the worker answers', () => {
  test('one file with the page of a check', () => {
    const [only, ...more] = answersOf({ files: [GAUGE], part: '' })
    expect(more).toEqual([])
    expect(only).toMatchObject({ kind: 'page', title: 'gauge.jed' })
    expect(only).toHaveProperty('html', expect.stringMatching(/^<!DOCTYPE html>[^]*<b>pass/))
  })

  test('two files with the page of their comparison, the intended one first', () => {
    const last = answersOf({ files: [EXAMPLE, FLIPPED], part: ' 14l4 ' }).at(-1)
    expect(last).toMatchObject({ kind: 'page', title: 'example.jed against flipped.jed' })
    // One fuse of the array differs: 124E to 126E is 0020, bit 5 of its byte (arithmetic on the stated sums).
    expect(last).toHaveProperty('html', expect.stringContaining('1 fuse of the AND array'))
  })

  test('a part that is none, with the nearest, and no file at all', () => {
    expect(answersOf({ files: [GAUGE], part: '16V9' })).toEqual([
      { kind: 'nothing', why: expect.stringMatching(/^No part is named “16V9”\. Near it: .*16V8/) as string },
    ])
    expect(answersOf({ files: [], part: '' })).toEqual([{ kind: 'nothing', why: 'Choose a file.' }])
  })

  test('what is no fuse file with a page that says so', () => {
    const [only] = answersOf({ files: [{ name: 'photo.jed', bytes: new Uint8Array([255, 216, 255, 224]) }], part: '' })
    expect(only).toHaveProperty('html', expect.stringContaining('<b>fail'))
  })
})

type Listener = (event: PageEvent) => void

/** A page in a host of our own: what it shows, the questions that it asked, the workers that it ended. */
function openPage({ answering }: { readonly answering: boolean }): {
  readonly shown: (id: string) => PageElement
  readonly happens: (id: string, kind: string, event?: Partial<PageEvent>) => Promise<void>
  readonly asked: Question[]
  readonly ended: () => number
} {
  const elements = new Map<string, PageElement & { listeners: Map<string, Listener> }>()
  const element = (id: string): PageElement & { listeners: Map<string, Listener> } => {
    const made = elements.get(id) ?? {
      textContent: '',
      hidden: true,
      value: '',
      listeners: new Map<string, Listener>(),
      addEventListener(kind: string, listener: Listener) {
        this.listeners.set(kind, listener)
      },
    }
    elements.set(id, made)
    return made
  }
  const asked: Question[] = []
  let ended = 0
  const host: PageHost = {
    element,
    addressOf: (html) => `saved:${html.length}`,
    startWorker: () => ({
      onmessage: null,
      postMessage(question) {
        asked.push(question)
        if (answering) answer(question, (data) => this.onmessage?.({ data }))
      },
      terminate: () => void ended++,
    }),
  }
  startPage(host)
  return {
    shown: element,
    asked,
    ended: () => ended,
    async happens(id, kind, event = {}) {
      element(id).listeners.get(kind)!({ preventDefault: () => undefined, ...event })
      await new Promise<void>((done) => setTimeout(done))
    },
  }
}

const fileOf = ({ name, bytes }: typeof EXAMPLE): PageFile => ({
  name,
  arrayBuffer: async () => bytes.slice().buffer as ArrayBuffer,
})
const dropped = (...files: (typeof EXAMPLE)[]): Partial<PageEvent> => ({ dataTransfer: { files: files.map(fileOf) } })

describe('the page', () => {
  test('shows the report of a dropped file, and offers it for saving', async () => {
    const page = openPage({ answering: true })
    await page.happens('all', 'drop', dropped(GAUGE))
    expect(page.shown('report').hidden).toBe(false)
    expect(page.shown('report').srcdoc).toContain('gauge.jed')
    expect(page.shown('save')).toMatchObject({ hidden: false, download: 'gauge.jed.html' })
    expect([page.shown('swap').hidden, page.shown('stop').hidden]).toEqual([true, true])
  })

  test('compares two, and exchanges them', async () => {
    const page = openPage({ answering: true })
    page.shown('part').value = '14L4'
    await page.happens('all', 'drop', dropped(EXAMPLE, FLIPPED))
    expect(page.shown('status').textContent).toBe('Intended: example.jed; read-back: flipped.jed')
    await page.happens('swap', 'click')
    expect(page.shown('status').textContent).toBe('Intended: flipped.jed; read-back: example.jed')
    expect(page.asked.map(({ files, part }) => [files.map(({ name }) => name), part])).toEqual([
      [['example.jed', 'flipped.jed'], '14L4'],
      [['flipped.jed', 'example.jed'], '14L4'],
    ])
  })

  test('hides the old report where there is none for a part that is none', async () => {
    const page = openPage({ answering: true })
    await page.happens('all', 'drop', dropped(GAUGE))
    page.shown('part').value = '16V9'
    await page.happens('part', 'change')
    expect(page.shown('report').hidden).toBe(true)
    expect(page.shown('status').textContent).toContain('No part is named')
  })

  test('ends the worker when it is stopped, and before the next question', async () => {
    const page = openPage({ answering: false })
    await page.happens('all', 'drop', dropped(GAUGE))
    expect([page.shown('stop').hidden, page.ended()]).toEqual([false, 0])
    await page.happens('stop', 'click')
    expect([page.shown('stop').hidden, page.ended()]).toEqual([true, 1])
    await page.happens('all', 'drop', dropped(GAUGE))
    await page.happens('all', 'drop', dropped(EXAMPLE))
    expect(page.ended()).toBe(2)
  })
})

test('the worker of the page beside the code answers', () => {
  const { blocks } = readPages().find(({ path }) => path === 'src/browser/README.md')!
  const { text } = blocks.find(({ language }) => language === 'js')!
  const driver = `
import { readFileSync } from 'node:fs'
globalThis.postMessage = ({ html, ...answer }) => console.log(JSON.stringify([answer, html.slice(0, 15)]))
const [intended, readback] = ['published/jesd3a-14l4.jed', 'demo/example-one-fuse-flipped.jed']
  .map((name) => new Uint8Array(readFileSync('vectors/' + name)))
globalThis.onmessage({ data: { intended, readback } })`
  const output = execFileSync('node', ['--input-type=module', '-e', text + driver], { cwd: root, encoding: 'utf8' })
  expect(JSON.parse(output)).toEqual([{ relation: 'different', verdict: 'fail' }, '<!DOCTYPE html>'])
})

describe('the built page', () => {
  const html = readFileSync(join(root, 'dist/page.html'), 'utf8')
  const policy = /Content-Security-Policy" content="([^"]*)"/.exec(html)![1]!
  const hashOf = (text: string): string => createHash('sha256').update(text).digest('base64')
  const [, worker, script] = /<script type="text\/plain" id="worker">([^]*?)<\/script>\n<script>([^]*?)<\/script>/.exec(
    html,
  )!

  test('lets through its own script and style, the style of reports, and nothing else', () => {
    const [, style] = /<style>([^<]*)<\/style>/.exec(html)!
    const [page] = answersOf({ files: [GAUGE], part: '' })
    const [, reports] = /<style>([^<]*)<\/style>/.exec((page as { readonly html: string }).html)!
    expect(policy.split('; ')).toEqual([
      "default-src 'none'",
      `script-src 'sha256-${hashOf(script!)}'`,
      'worker-src blob:',
      `style-src 'sha256-${hashOf(style!)}' 'sha256-${hashOf(reports!)}'`,
      "base-uri 'none'",
      "form-action 'none'",
    ])
  })

  test('its worker answers, without anything that only Node has', () => {
    const posted: Answer[] = []
    const host = createContext({ postMessage: (each: Answer) => posted.push(each), TextEncoder })
    runInContext(worker!, host)
    ;(host['onmessage'] as (event: object) => void)({ data: { files: [EXAMPLE, FLIPPED], part: '14L4' } })
    expect(posted.at(-1)).toMatchObject({ kind: 'page', title: 'example.jed against flipped.jed' })
  })

  test('code that would end a script, or begin a comment, stays code', () => {
    const code = 'f("</script><!--")'
    const made = pageHtml({ script: code, worker: code, hashOf, reportStyle: '' })
    expect(made.split('</script>')).toHaveLength(3)
    const kept = /<script>(.*)<\/script>/.exec(made)![1]!
    expect(runInContext(kept, createContext({ f: (text: string) => text }))).toBe('</script><!--')
  })
})
