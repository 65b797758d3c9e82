"""What stands around every page: its looks, for a tablet in bad light and for black and white paper.

Severity is said in words and by the border, never by colour alone.  The script only opens what is folded when the page
goes to paper, for browsers that don't follow the style sheet there; without it the page reads the same.
"""

HEAD = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Check of loadouts</title>
<style>
:root { color-scheme: light }
body { font: 18px/1.5 sans-serif; color: #000; background: #fff; margin: 0 auto; padding: 16px; max-width: 60em;
  overflow-wrap: break-word }
h1 { font-size: 1.5em; margin: 0 }
h2 { font-size: 1.3em; margin: 1.6em 0 .2em; border-bottom: 3px solid #000 }
h3, h4 { margin: 1.2em 0 .3em }
a { color: #000; text-decoration: underline }
nav li, nav a { line-height: 2.4 }
.made, .file { margin: .2em 0 }
.file { font-family: monospace }
.verdict { font-size: 1.2em; font-weight: bold }
details { border: 2px solid #000; margin: .7em 0; padding: 0 14px }
summary { cursor: pointer; margin: 0 -14px; padding: 13px 14px; min-height: 22px }
summary:focus-visible, a:focus-visible { outline: 4px solid #000; outline-offset: 2px }
details[open] > summary { border-bottom: 1px solid #000 }
.finding.damage { border-width: 8px 2px 2px 8px }
.finding.fault { border-left-width: 8px }
.finding.note { border-style: dashed }
.word { display: inline-block; border: 2px solid #000; padding: 0 .5em; font-weight: bold }
.word.damage { background: #000; color: #fff; text-transform: uppercase }
.word.fault { background: #000; color: #fff }
.word.note { border-style: dashed; font-weight: normal }
dl { display: grid; grid-template-columns: 8em 1fr; gap: .5em 1em; margin: .8em 0 }
dt { font-weight: bold }
dd { margin: 0 }
.from { border-top: 1px solid #000; margin: .5em 0; padding-top: .5em }
.done { float: right; padding-right: 9em }
.box { display: inline-block; width: 1em; height: 1em; border: 2px solid #000; vertical-align: -.2em }
pre, .example { white-space: pre-wrap; border-left: 4px solid #000; padding-left: 10px; font-family: monospace }
.caution { border: 4px solid #000; padding: 8px 12px; font-weight: bold }
li { margin: .3em 0 }
@media (max-width: 34em) { dl { display: block } dd { margin: 0 0 .6em } .done { float: none; display: block } }
@media print {
  body { font-size: 10.5pt; padding: 0; max-width: none }
  details::details-content { content-visibility: visible; block-size: auto }
  summary { list-style: none; break-after: avoid; padding: 4pt 14px }
  .finding, li, pre { break-inside: avoid }
  h2, h3, h4 { break-after: avoid }
  .word.damage, .word.fault { print-color-adjust: exact; -webkit-print-color-adjust: exact }
}
</style>
</head>
<body>
"""

FOOT = """<script>
addEventListener("beforeprint", () => document.querySelectorAll("details").forEach(one => { one.open = true }))
</script>
</body>
</html>"""
