/** The page as one file: what it looks like, what may run in it, and its two scripts. */

/** What the build makes for the page. */
export interface PageParts {
  /** The script of the page. */
  readonly script: string
  /** The script of the worker, which is kept as text and started from there. */
  readonly worker: string
  /** SHA-256 in base64, as a policy names it, of a text. */
  readonly hashOf: (text: string) => string
  /** The hash of the style sheet that all reports have. */
  readonly reportStyle: string
}

/** Colours are those of the browser, light or dark. */
const STYLE = [
  ':root{color-scheme:light dark}',
  'body{margin:0;min-height:100vh;display:flex;flex-direction:column;font:1rem/1.5 system-ui,sans-serif}',
  'header{padding:1rem;max-width:64rem;width:100%;margin:0 auto;box-sizing:border-box}',
  'h1{font-size:1.25rem;margin:0 0 .5rem}p{margin:.5rem 0;overflow-wrap:anywhere}',
  'label{display:inline-block;margin:.25rem 1rem .25rem 0}input,button,a{font:inherit}input{max-width:100%}',
  'iframe{flex:1;min-height:70vh;width:100%;border:0;border-top:1px solid GrayText}[hidden]{display:none}',
].join('')

/** The page: nothing is loaded, nothing is sent, and nothing but its own two scripts runs. */
export function pageHtml({ script, worker, hashOf, reportStyle }: PageParts): string {
  const own = inScript(script)
  const policy = [
    "default-src 'none'",
    `script-src 'sha256-${hashOf(own)}'`,
    'worker-src blob:',
    `style-src 'sha256-${hashOf(STYLE)}' 'sha256-${reportStyle}'`,
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ')
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>fuse-assay</title>
<style>${STYLE}</style>
</head>
<body>
<header>
<h1>fuse-assay: is this fuse file what the chip needs?</h1>
<p>Drop one fuse file (.jed) here to check it, or two to compare them: the intended one first, then
the read-back. The files stay on this machine.</p>
<p><label>Files <input id="choose" type="file" multiple></label>
<label>Part on the chip
<input id="part" type="text" size="12" placeholder="16V8"></label>
<button id="swap" type="button" hidden>Swap the files</button>
<button id="stop" type="button" hidden>Stop</button>
<a id="save" hidden>Save this report</a></p>
<p id="status" role="status"></p>
</header>
<iframe id="report" title="Report" sandbox hidden></iframe>
<script type="text/plain" id="worker">${inScript(worker)}</script>
<script>${own}</script>
</body>
</html>
`
}

/** Code that a page may hold: no sign in it ends a script, or begins a comment of the page. */
function inScript(code: string): string {
  return code.replace(/<(?=\/script|!--)/gi, '\\x3C')
}
