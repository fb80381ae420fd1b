"""How the report looks: the workbook's palette, on a screen, on a phone and on paper."""

from __future__ import annotations

import hashlib
from base64 import b64encode

from podbook.book import look

RULE = look.RULE
FACES = f'{look.FACE}, Carlito, "Liberation Sans", Arial, sans-serif'
STYLE = f"""
* {{ box-sizing: border-box; }}
body {{ margin: 0; background: #{look.PAPER}; color: #{look.INK}; font: 1rem/1.5 {FACES}; overflow-wrap: anywhere; }}
main {{ max-width: 60rem; margin: 0 auto; padding: 1.5rem 1rem 3rem; }}
h1, h2, h3 {{ line-height: 1.2; color: #{look.LEAF}; break-after: avoid; }}
h1 {{ font-size: 1.9rem; margin: 0 0 .25rem; }}
h2 {{ font-size: 1.35rem; margin: 2.5rem 0 .75rem; padding-bottom: .25rem; border-bottom: 2px solid #{look.LEAF}; }}
h3 {{ font-size: 1.1rem; margin: 0 0 .25rem; color: #{look.INK}; }}
p, ul, dl {{ margin: .5rem 0; }}
ul {{ padding-left: 1.25rem; }}
li {{ margin: .25rem 0; }}
code {{ font: .9em "DejaVu Sans Mono", "Liberation Mono", Consolas, monospace; }}
.quiet {{ color: #{look.QUIET}; }}
.verdict {{ font-size: 1.2rem; margin: 1rem 0; padding: .75rem 1rem; background: #{look.POD};
  border: 2px solid #{look.LEAF}; }}
.verdict.look {{ border: 4px double #{look.ALARM}; }}
.word {{ font-weight: bold; }}
.look .word, .word.look {{ color: #{look.ALARM}; }}
.caution {{ border-left: 6px double #{look.BARK}; padding: .25rem 0 .25rem .75rem; }}
summary:focus-visible {{ outline: 3px solid #{look.LEAF}; outline-offset: 2px; }}
table {{ border-collapse: collapse; width: 100%; font-size: .95rem; font-variant-numeric: tabular-nums; }}
caption {{ text-align: left; font-weight: bold; padding: .25rem 0; }}
th, td {{ text-align: left; vertical-align: top; padding: .35rem .6rem .35rem 0; border-bottom: 1px solid #{RULE}; }}
thead th {{ border-bottom: 2px solid #{look.BARK}; vertical-align: bottom; }}
tbody th {{ font-weight: normal; }}
.number {{ text-align: right; padding-left: .6rem; }}
.number + td:not(.number) {{ padding-left: .6rem; }}
tbody th {{ min-width: 3.5rem; }}
td:not(.number) {{ min-width: 5.5rem; }}
dl.facts, .finding dl {{ margin: .5rem 0; }}
dl.facts div, .finding dl div {{ display: grid; grid-template-columns: 7rem 1fr; gap: 0 .75rem; margin: .15rem 0; }}
dt {{ color: #{look.QUIET}; }}
dd {{ margin: 0; }}
.finding {{ margin: 1rem 0; padding: .75rem 1rem; border: 1px solid #{RULE}; border-left: 6px solid #{look.BARK}; }}
summary {{ cursor: pointer; color: #{look.LEAF}; padding: .35rem 0; }}
figure {{ margin: 1.5rem 0 .5rem; }}
figcaption {{ font-weight: bold; }}
svg {{ display: block; width: 100%; max-width: 32rem; height: auto; }}
svg text {{ font-family: {FACES}; font-size: 13px; fill: #{look.INK}; }}
@media screen and (max-width: 40rem) {{
  .finding {{ padding: .5rem .75rem; }}
  dl.facts div, .finding dl div {{ display: block; margin: .35rem 0; }}
  table, caption, tbody, tr, th, td {{ display: block; }}
  thead {{ position: absolute; clip-path: inset(50%); width: 1px; height: 1px; overflow: hidden; }}
  tr {{ border-bottom: 1px solid #{RULE}; padding: .5rem 0; }}
  tbody th {{ font-weight: bold; }}
  th, td {{ border: 0; padding: .1rem 0; }}
  .number, .number + td:not(.number) {{ text-align: left; padding-left: 0; }}
  td::before {{ content: attr(data-heading) ": "; color: #{look.QUIET}; font-weight: normal; }}
}}
@page {{ margin: 15mm 15mm 18mm; @bottom-right {{ content: counter(page) " / " counter(pages); font-size: 9pt; }} }}
@media print {{
  html {{ font-size: 10pt; }}
  body {{ line-height: 1.35; }}
  h2 {{ margin-top: 1.5rem; }}
  th, td {{ padding-top: .2rem; padding-bottom: .2rem; }}
  .finding {{ box-decoration-break: clone; }}
  main {{ max-width: none; padding: 0; }}
  .verdict {{ background: none; }}
  p, li, tr, table, figure, dl div, .finding, .told {{ break-inside: avoid; }}
  tbody tr:first-child {{ break-before: avoid; }}
  p, li {{ orphans: 3; widows: 3; }}
  thead {{ display: table-header-group; }}
  caption {{ break-after: avoid; }}
  details::details-content {{ display: block; content-visibility: visible; block-size: auto; }}
  summary {{ list-style: none; color: #{look.INK}; break-after: avoid; }}
  summary::-webkit-details-marker {{ display: none; }}
  details:has(table) > summary {{ display: none; }}
}}
"""

POLICY = (
    f"default-src 'none'; style-src 'sha256-{b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()}';"
    " base-uri 'none'; form-action 'none'"
)
"""What a browser may do with the report: apply this one style, and nothing else."""
