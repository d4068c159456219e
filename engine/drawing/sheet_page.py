"""A sheet as one HTML page that prints: black on white, every printed page headed and numbered."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape

from engine.drawing.sheet import Answer, Blank, Entry, Question, Section, Sheet, Target
from engine.drawing.strokes import escaped
from engine.safe_words import Caution, Signal

LETTER = "letter"
_STYLE = """
body { font: 15px/1.4 Arial, Helvetica, sans-serif; color: #000; background: #fff;
  max-width: 48em; margin: 2em auto; padding: 0 1em; overflow-wrap: break-word; }
h1 { font-size: 1.6em; margin: 0 0 .2em; } h2 { font-size: 1.25em; margin: 1.6em 0 .5em;
  border-bottom: 3px solid #000; break-after: avoid; } .appendix h2 { font-size: 1.1em; }
h3 { font-size: 1.05em; margin: 0 0 .2em; break-after: avoid; } p { margin: .25em 0; }
a { color: #000; text-decoration: none; font-weight: bold; white-space: nowrap; }
ol, ul { margin: .3em 0; padding-left: 1.4em; }
.entry { border-top: 1px solid #000; padding: .6em 0 .7em; }
.entry h3 .number { display: inline-block; border: 2px solid #000; border-radius: 1em;
  padding: 0 .5em; margin-right: .4em; }
.finding { border: 4px double #000; padding: .6em .8em; margin: .6em 0; break-inside: avoid; }
.kind { font-size: .85em; } .kind b { letter-spacing: .03em; }
.caution { border: 2px solid #000; padding: .2em .6em; margin: .3em 0; break-inside: avoid; }
.caution b::before { content: "\\26A0\\FE0E\\00A0"; } .notice b::before { content: ""; }
.do { font-size: 1.05em; } .why { font-style: italic; } .source, .about { font-size: .8em; }
table { border-collapse: collapse; width: 100%; margin: .4em 0; }
th, td { text-align: left; vertical-align: top; padding: .2em .5em .2em 0; }
.blanks td { border-bottom: 1px dotted #000; padding-top: .35em; line-height: 1.25; }
.blanks .line { width: 9em; border-bottom: 1px solid #000; } .blanks .unit { width: 3.5em; }
.answers td { border-bottom: 1px solid #999; } .answers .box { width: 1.2em; }
.answers .to { width: 34%; } .judged { font-weight: bold; margin: .5em 0 0; break-after: avoid; }
tr { break-inside: avoid; } .job td { height: 1.6em; } .intro, .foot { font-size: .85em; }
@media print {
  body { margin: 0; padding: 0; max-width: none; font-size: 10pt; line-height: 1.3; }
  .appendix { break-before: page; } .entry h3, .caution, .kind { break-after: avoid; }
  .answers tr:last-child, .answers tr:nth-last-child(2), .then, .source { break-before: avoid; }
"""
_PAGE = """  @page {{ size: {paper}; margin: 18mm 15mm 16mm;
    @top-left {{ content: {title}; font: bold 9pt Arial, sans-serif; }}
    @top-right {{ content: {about}; font: 9pt Arial, sans-serif; }}
    @bottom-left {{ content: {tree}; font: 9pt Arial, sans-serif; }}
    @bottom-right {{ content: "Page " counter(page) " of " counter(pages);
      font: 9pt Arial, sans-serif; }} }}
}}
"""
_JOB = ("Site", "Unit", "Name", "Date and time", "Meter")


def as_html(sheet: Sheet, date: str, paper: str = LETTER) -> str:
    """Return a sheet as a self-contained page; the same sheet and date give the same bytes.

    ``date`` is that of printing, and ``paper`` a page size of CSS, such as A4.
    """
    edition = f"revision {sheet.revision}, " if sheet.revision else ""
    about = f"{edition}{sheet.status}, printed {date}"
    about = about[0].upper() + about[1:]
    page = _PAGE.format(
        paper=escape(paper),
        title=_quoted(sheet.title),
        about=_quoted(about),
        tree=_quoted(sheet.tree),
    )
    head = f"{sheet.title}, {edition}{date}"
    parts = [
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{escaped(head)}</title>\n<style>{_STYLE}{page}</style>\n</head>\n<body>",
        *_front(sheet, about),
        *(part for section in sheet.sections for part in _section(section)),
        *_appendix(sheet.appendix),
        *(f'<p class="foot">{escaped(line)}</p>' for line in sheet.foot),
        "</body>\n</html>",
    ]
    return "\n".join(parts) + "\n"


def _quoted(text: str) -> str:
    """Return a text as a string of CSS: what could end it, or the style, written as numbers."""
    return (
        '"'
        + "".join(
            sign if sign.isalnum() or sign in " ,.:-" else f"\\{ord(sign):x} " for sign in text
        )
        + '"'
    )


def _front(sheet: Sheet, about: str) -> Iterator[str]:
    yield f"<h1>{escaped(sheet.title)}</h1>"
    yield f'<p class="kind">{escaped(sheet.tree)}. {escaped(about)}.</p>'
    if sheet.said_as:
        yield f"<p>The customer says: {escaped(', '.join(sheet.said_as))}.</p>"
    yield from _blanks((Blank(name) for name in _JOB), "blanks job")
    steps = "\n".join(f"<li>{escaped(line)}</li>" for line in sheet.how)
    yield f'<ul class="intro">\n{steps}\n</ul>'
    if sheet.nameplate:
        yield '<h2 id="nameplate">Nameplate and site</h2>'
        yield from _blanks(sheet.nameplate, "blanks")


def _blanks(blanks: Iterable[Blank], kind: str) -> Iterator[str]:
    yield f'<table class="{kind}">'
    for blank in blanks:
        about = f' <span class="about">({escaped(blank.about)})</span>' if blank.about else ""
        yield (
            f'<tr><td>{escaped(blank.name)}{about}</td><td class="line"></td>'
            f'<td class="unit">{escaped(blank.unit)}</td></tr>'
        )
    yield "</table>"


def _appendix(sections: Iterable[Section]) -> Iterator[str]:
    sections = tuple(sections)
    if sections:
        yield '<div class="appendix">\n<h1>Procedures</h1>'
        for section in sections:
            yield from _section(section)
        yield "</div>"


def _section(section: Section) -> Iterator[str]:
    if not section.entries:
        return
    yield f'<h2 id="{_anchor(section.anchor)}">{escaped(section.heading)}</h2>'
    yield from (f"<p>{escaped(line)}</p>" for line in section.intro)
    for entry in section.entries:
        yield from _entry(entry)


def _entry(entry: Entry) -> Iterator[str]:
    kind = "entry finding" if entry.kind.startswith("FINDING") else "entry"
    yield f'<div class="{kind}" id="{_anchor(entry.anchor)}">'
    yield (f'<h3><span class="number">{escaped(entry.number)}</span>{escaped(entry.title)}</h3>')
    yield _about(entry)
    if entry.only_if and entry.only_if_to:
        yield f"<p>Only if {escaped(entry.only_if)}. If not: {_target(entry.only_if_to)}.</p>"
    yield from map(_caution, entry.cautions)
    if entry.wait:
        yield f"<p><b>{escaped(entry.wait)}</b></p>"
    if entry.do:
        yield f'<p class="do">{_lines(entry.do)}</p>'
    yield from (f"<p>{escaped(name)}: {escaped(words)}</p>" for name, words in entry.facts)
    if entry.why:
        yield f'<p class="why">{_lines(entry.why)}</p>'
    if entry.blanks:
        yield from _blanks(entry.blanks, "blanks")
    for question in entry.questions:
        yield from _question(question)
    if entry.then:
        yield f'<p class="then">Then: {_targets(entry.then)}</p>'
    if entry.cannot:
        yield from _question(Question("", entry.cannot))
    if entry.source:
        yield f'<p class="source">{escaped(entry.source)}</p>'
    yield "</div>"


def _about(entry: Entry) -> str:
    minutes = f"{entry.minutes:g} min" if entry.minutes else ""
    stage = f"Stage: {_target(entry.stage)}" if entry.stage else ""
    who = f"<b>Who: {escaped(entry.who)}</b>" if entry.who else ""
    parts = [f"<b>{escaped(entry.kind)}</b>", stage, who, minutes]
    return f'<p class="kind">{" · ".join(part for part in parts if part)}</p>'


def _caution(caution: Caution) -> str:
    kind = "caution notice" if caution.signal is Signal.NOTICE else "caution"
    return f'<p class="{kind}"><b>{caution.signal}</b> {escaped(caution.text)}</p>'


def _question(question: Question) -> Iterator[str]:
    if question.judged:
        yield f'<p class="judged">{escaped(question.judged)}</p>'
    yield '<table class="answers">'
    yield from map(_answer, question.answers)
    yield "</table>"


def _answer(answer: Answer) -> str:
    means = f'<div class="about">{escaped(answer.means)}</div>' if answer.means else ""
    return (
        f'<tr><td class="box">☐</td><td>{escaped(answer.said)}{means}</td>'
        f'<td class="to">{_targets(answer.then)}</td></tr>'
    )


def _targets(targets: Iterable[Target]) -> str:
    return "; ".join(map(_target, targets))


def _target(target: Target) -> str:
    words = escaped(target.words)
    return f'<a href="#{_anchor(target.anchor)}">{words}</a>' if target.anchor else words


def _anchor(anchor: str) -> str:
    return escaped(anchor.replace(".", "-").replace(" ", "-"))


def _lines(text: str) -> str:
    return "<br>".join(escaped(line) for line in text.splitlines())
