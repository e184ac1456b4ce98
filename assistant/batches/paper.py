"""Pieces of a page that is read on a phone and printed on A4 or US Letter: its style, tables, lists of facts.

No piece needs anything from outside, and none means something by a colour.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

CSS = """
@page { margin: 15mm 14mm;
  @bottom-right { content: "page " counter(page) " of " counter(pages); font: 9pt sans-serif; } }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1.5rem 1rem 3rem; max-width: 46rem; color: #000; background: #fff;
  font: 16px/1.45 system-ui, "Segoe UI", "Helvetica Neue", Arial, sans-serif; overflow-wrap: anywhere; }
h1 { margin: 0; font-size: 2rem; line-height: 1.15; }
header { padding-bottom: .8rem; border-bottom: 4px solid #000; }
header p { margin: .3rem 0 .6rem; }
h2 { margin: 2rem 0 .5rem; font-size: 1.2rem; }
h3 { margin: 0 0 .4rem; font-size: 1.05rem; }
p { margin: .5rem 0; }
dl { margin: 0; columns: 2 17rem; column-gap: 2rem; }
dl div { display: flex; gap: 1rem; justify-content: space-between; padding: .2rem 0; border-bottom: 1px solid #bbb;
  break-inside: avoid; }
dt { flex: none; max-width: 72%; }
dd { margin: 0; text-align: right; font-weight: 600; text-wrap: balance; font-variant-numeric: tabular-nums; }
table { width: 100%; border-collapse: collapse; }
th, td { padding: .3rem 1.1rem .3rem 0; text-align: left; vertical-align: top; border-bottom: 1px solid #bbb; }
thead th { border-bottom: 2px solid #000; font-size: .85rem; }
tfoot td { font-weight: 700; }
tfoot tr:first-child td { border-top: 2px solid #000; }
tbody th { font-weight: 400; }
.n, .d { white-space: nowrap; overflow-wrap: normal; }
.n { text-align: right; font-variant-numeric: tabular-nums; }
th:last-child, td:last-child { padding-right: 0; }
.said, .small, figcaption { font-size: .85em; font-weight: 400; color: #333; }
.said { display: block; font-style: italic; }
.tag { border: 1px solid #000; padding: 0 .35em; font-size: .8rem; white-space: nowrap; }
.vessel { margin: .7rem 0; padding: .8rem 1rem; border: 1.5px solid #000; break-inside: avoid; }
.verdict { margin: .5rem 0; padding: .5rem .8rem; border-left: 3px solid #000; break-inside: avoid; }
.stop { border: 4px solid #000; }
figure { margin: .5rem 0; break-inside: avoid; }
footer { margin-top: 2rem; padding-top: .6rem; border-top: 2px solid #000; }
svg.course { display: block; width: 100%; max-width: 42rem; height: auto; overflow: visible; }
svg.course text { font: 12px system-ui, "Segoe UI", "Helvetica Neue", Arial, sans-serif; fill: #000; }
svg.course .grid { stroke: #ccc; stroke-width: .6; }
svg.course .axis { stroke: #000; stroke-width: 1; fill: none; }
svg.course .limit { stroke: #000; stroke-width: 1.1; stroke-dasharray: 7 4; }
svg.course .line { stroke: #555; stroke-width: 1.4; }
svg.course .full { fill: #000; stroke: #000; stroke-width: 1.2; }
svg.course .open { fill: #fff; stroke: #000; stroke-width: 1.5; }
svg.course .added { fill: #000; }
@media (max-width: 30rem) {
  h1 { font-size: 1.6rem; }
  table { font-size: .9rem; }
  th, td { padding-right: .4rem; }
  .n { white-space: normal; }
  .t { min-width: 5.8rem; }
  .vessel { padding: .7rem; }
  svg.course text { font-size: 14px; }
}
@media print {
  html { font-size: 9.5pt; }
  body { max-width: none; padding: 0; font-size: 9.5pt; line-height: 1.35; }
  h2 { margin-top: 1.4rem; }
  th, td, dl div { padding-top: .15rem; padding-bottom: .15rem; }
  h2, h3 { break-after: avoid; }
  thead { display: table-header-group; }
  tfoot { display: table-row-group; }
  tr, li, .keep { break-inside: avoid; }
  tbody tr:nth-child(-n+3) { break-after: avoid; }
  footer { break-before: avoid; }
  p { orphans: 3; widows: 3; }
  svg.course { max-width: 115mm; }
  .said, .small, figcaption { color: #000; }
}
"""
"""The style of the page."""


NO_BREAK = "\u00a0"


def safe(text: str) -> str:
    """A person's words as they may stand in the page: escaped, on one line, nothing unprintable."""
    return escape(" ".join("".join(one if one.isprintable() else " " for one in text).split()))


def section(title: str, inside: str, keep: bool = False) -> str:
    """A part of the page under its heading; ``keep``: on one sheet of paper."""
    kept = ' class="keep"' if keep else ""
    return f"<section{kept}>\n<h2>{title}</h2>\n{inside}\n</section>"


def row(cells: Sequence[str], kinds: str, tag: str = "td") -> str:
    """A row of a table, of ready HTML; a number breaks before its bracket only: "7 lb 0.9 oz (3.2 kg)"."""
    scope = ' scope="col"' if tag == "th" else ""
    held = [
        cell.replace(" ", NO_BREAK).replace(f"{NO_BREAK}(", " (") if kind == "n" else cell
        for kind, cell in zip(kinds, cells, strict=True)
    ]
    inside = "".join(f'<{tag} class="{kind}"{scope}>{cell}</{tag}>' for kind, cell in zip(kinds, held, strict=True))
    return f"<tr>{inside}</tr>"


def table(head: Sequence[str], rows: Iterable[Sequence[str]], kinds: str, sums: Iterable[Sequence[str]] = ()) -> str:
    """A table of ready HTML with its sums below.

    Args:
        head: the columns' names.
        rows: the cells.
        kinds: a letter for each column: "n" number (text alone), "d" date, "t" text.
        sums: rows under the line.
    """
    inside, ending = ("\n".join(row(one, kinds) for one in part) for part in (rows, sums))
    foot = f"\n<tfoot>\n{ending}\n</tfoot>" if ending else ""
    return f"<table>\n<thead>{row(head, kinds, 'th')}</thead>\n<tbody>\n{inside}\n</tbody>{foot}\n</table>"


def facts(known: Iterable[tuple[str, str]]) -> str:
    """A list of names and ready values; those without a value are left out."""
    rows = "\n".join(f"<div><dt>{name}</dt><dd>{value}</dd></div>" for name, value in known if value)
    return f"<dl>\n{rows}\n</dl>"


def document(title: str, body: str, foot: str) -> str:
    """A whole page; the title comes as a person said it, the body ready.

    Args:
        title: of the window.
        body: HTML.
        foot: stands with the page's number below every printed page; letters, digits and spaces.
    """
    paged = f'@page {{ @bottom-left {{ content: "{foot}"; font: 9pt sans-serif; }} }}\n'
    return (
        f'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n<title>{safe(title)}</title>\n'
        f"<style>{CSS}{paged}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )
