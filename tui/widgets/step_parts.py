"""A prompt as parts, top to bottom: caution, what to do, meter line, window, what was read.

The order is that of the work: what can hurt, where the hands are, what to do, how the meter is
set, what it should read. Nothing is decided here; every word comes from the prompt.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from textual.content import Content

from engine.guide.choices import Choice
from engine.guide.gauge import Gauge
from engine.guide.prompt import Prompt
from engine.safe_words import Caution, Signal
from tui.widgets.band_gauge import drawn, in_words
from tui.widgets.fitting import INDENT, Part, Rows, first_rows, flowing, part, picking, wrapped

DO_AT_LEAST = 2
"""Rows of the instruction that are in sight before the rest of it goes to the next page."""


PASSED = "Wait. If that long has passed already, type 'over'. Then:"


def parts_of(prompt: Prompt, width: int, fell: Gauge | None = None) -> list[Part]:
    """Return the parts of a step, a nameplate question, a wait or a refused step.

    With ``fell`` the reading was taken: it is marked on the gauge, in the gauge's own place.
    """
    return list(_parts(prompt, width, fell))


def _parts(prompt: Prompt, width: int, fell: Gauge | None) -> Iterator[Part]:
    for refusal in prompt.refusals:
        rows = wrapped(f"Not yet. {refusal}", width, "bold", INDENT)
        yield part(rows, first_rows(rows, DO_AT_LEAST, width), rank=0)
    if prompt.wait_left:
        yield part(wrapped(PASSED, width, "bold"), rank=0)
        if prompt.meanwhile:
            yield part(wrapped(f"Meanwhile: {prompt.meanwhile}", width, "", INDENT), rank=0)
    for caution in prompt.cautions:
        yield _caution(caution, width)
    if prompt.who:
        yield part(wrapped(f"Who: {prompt.who}", width, "bold"), rank=1)
    if prompt.box:
        rows = wrapped(prompt.box, width, "", INDENT)
        yield part(rows, first_rows(rows, 1, width), (), rank=4)
    if prompt.leads_off:
        yield _leads_off(prompt.leads_off, width)
    if prompt.do:
        rows = wrapped(prompt.do, width, "bold")
        yield part(rows, first_rows(rows, DO_AT_LEAST, width), rank=0)
    for said in prompt.say:
        yield part(wrapped(f"Say: {said}", width, "", INDENT), (), rank=3)
    if prompt.reminder:
        yield part(wrapped(prompt.reminder, width, "", INDENT), (), rank=4)
    if prompt.meter:
        rows = wrapped(prompt.meter, width, "", INDENT)
        yield part(rows, first_rows(rows, 1, width), rank=2)
    if fell is None or drawn(fell, width):
        # Where no scale can be drawn, the words between the cuts take the mark themselves.
        yield from _windows(prompt, width)
    yield from _scale((fell,) if fell else prompt.gauges, width, marked=fell is not None)
    if prompt.order:
        yield _order(prompt, width)
    if prompt.choices:
        yield _choices(prompt.choices, width)
    if prompt.last:
        rows = wrapped(prompt.last, width, "bold", INDENT)
        yield part(rows, rows[-1:], rank=1)
    yield from _asides(prompt, width)


def _caution(caution: Caution, width: int) -> Part:
    """Return a caution whole, or as signal word and hazard; a DANGER is never shortened."""
    whole = tuple(_signalled(row, caution) for row in wrapped(str(caution), width, "", INDENT))
    if caution.signal is Signal.DANGER:
        return part(whole, rank=0)
    head = caution.text.partition(". ")[0]
    if len(f"{caution.signal} {head}") > width:
        head = head.partition(":")[0]
    short = first_rows(wrapped(f"{caution.signal} {head}", width), 1, width)
    return part(whole, tuple(_signalled(row, caution) for row in short), rank=3)


def _leads_off(text: str, width: int) -> Part:
    """Return which leads come off, with or without when they go back on."""
    first = wrapped(f"{text.partition('. ')[0]}.", width, "bold", INDENT)
    return part(wrapped(text, width, "bold", INDENT), first, first_rows(first, 1, width), rank=2)


def _signalled(row: Content, caution: Caution) -> Content:
    style = "bold $caution"
    return row.stylize(style, 0, len(caution.signal)) if row.plain[:1] != " " else row


def _windows(prompt: Prompt, width: int) -> Iterator[Part]:
    """Yield the window: a band a row, or side by side, or as words between the cuts."""
    if prompt.allowed:
        yield part(wrapped(f"Allowed {prompt.allowed}", width), rank=2)
    if not prompt.window:
        return
    listed = tuple(row for line in prompt.window for row in wrapped(line, width, "", INDENT))
    beside = flowing([Content(line) for line in prompt.window], width, " · ")
    words = _in_words(prompt, width)
    forms = [listed, beside]
    if words and len(words) < len(beside):
        forms.append(words)
    shortest = forms[-1]
    if prompt.gauges and prompt.gauges[0].about:
        # Its numbers are worth more than its name, where one row is all there is.
        shortest = in_words(replace(prompt.gauges[0], about=""), width)
    yield Part((*forms, first_rows(shortest, 1, width)), len(forms), rank=1)


def _in_words(prompt: Prompt, width: int) -> Rows:
    """Return the window as words between cuts, where no band is left out by that."""
    if sum(len(one.verdicts) for one in prompt.gauges) == len(prompt.window):
        return tuple(row for one in prompt.gauges for row in in_words(one, width))
    if len(prompt.gauges) != 1:
        return ()
    gauge = prompt.gauges[0]
    # OL and the like have no cell; their lines follow those of the cells.
    others = prompt.window[len(gauge.verdicts) :]
    return in_words(gauge, width, [Content(f"· {line}") for line in others])


def _scale(gauges: Sequence[Gauge], width: int, *, marked: bool) -> Iterator[Part]:
    """Yield gauges drawn one below the other; one without a mark only where there is room."""
    rows: list[Content] = []
    for one in gauges:
        scale = drawn(one, width) or (in_words(one, width) if marked else ())
        rows += [Content(""), *scale] if scale else []
    if rows:
        yield Part((tuple(rows), tuple(rows[1:] if marked else [])), 2, rank=0 if marked else 9)


def _order(prompt: Prompt, width: int) -> Part:
    """Return the readings that are still open, in the order in which a line is read."""
    rows = wrapped(f"In this order: {' · '.join(prompt.order)}", width, "", INDENT)
    return part(rows, first_rows(rows, 1, width), (), rank=1)


def _choices(choices: Sequence[Choice], width: int) -> Part:
    """Return the answers, each by its number; all of them in sight in every form."""
    items = [
        picking(Content(f"{one.number} {one.words}".rstrip()), str(one.number)) for one in choices
    ]
    listed = tuple(row for item in items for row in item.wrap(width))
    return Part((listed, flowing(items, width)), 2, rank=1)


def _asides(prompt: Prompt, width: int) -> Iterator[Part]:
    """Yield what is good to know; what all of this is for is left out first, and without a word."""
    if prompt.towards:
        yield Part((wrapped(f"On the way to: {prompt.towards}", width, "$quiet", INDENT), ()), 2, 8)
    if prompt.before:
        yield part(wrapped(prompt.before, width, "$quiet"), (), rank=5)
    if prompt.photo:
        yield part(wrapped(f"Photo: {prompt.photo} (p)", width, "$quiet"), (), rank=6)
    for word, things in (("Take", prompt.tools), ("Parts", prompt.parts)):
        if things:
            rows = wrapped(f"{word}: {'; '.join(things)}", width, "$quiet", INDENT)
            yield part(rows, (), rank=7)
