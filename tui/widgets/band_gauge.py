"""The gauge of the bands, drawn in text: a cell for each band, its cut below, the reading marked.

``weak |42.3| good |47.7 uF| wrong part`` is the same in one line, where three rows are too many.
"""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from engine.guide.gauge import Gauge
from tui.widgets.fitting import Rows, flowing

MOST_SPARE = 6
"""Columns that a cell is wider than its word at most."""
MARK = "▲"


def in_words(gauge: Gauge, width: int, others: Sequence[Content] = ()) -> Rows:
    """Return a gauge as words with the cuts between them, the unit with the last cut only.

    The cell that the reading fell in shows it; ``others`` follow the cells.
    """
    cuts = list(gauge.cuts)
    units = {cut.partition(" ")[2] for cut in cuts}
    if len(units) == 1:
        cuts[:-1] = [cut.partition(" ")[0] for cut in cuts[:-1]]
    ends = [*(f" |{cut}|" for cut in cuts), ""]
    items = [
        _word(gauge, at) + end for at, (_, end) in enumerate(zip(gauge.verdicts, ends, strict=True))
    ]
    named = [Content(f"{gauge.about}:")] if gauge.about else []
    return flowing([*named, *items, *others], width, " ")


def _word(gauge: Gauge, at: int) -> Content:
    mark = gauge.mark
    if mark is None or mark.cell != at:
        return Content(gauge.verdicts[at])
    return Content.styled(f"{MARK}{mark.words}: {gauge.verdicts[at]}", "bold reverse")


def drawn(gauge: Gauge, width: int) -> Rows:
    """Return a gauge as rows: verdicts, cuts under their borders, and the mark if there is one.

    Empty where the cells would be too narrow for their words.
    """
    cells = _cells(gauge, width)
    if sum(cells) + len(gauge.cuts) > width:
        return ()
    verdicts = Content("│").join(
        _verdict(word, size, gauge.mark is not None and gauge.mark.cell == at)
        for at, (word, size) in enumerate(zip(gauge.verdicts, cells, strict=True))
    )
    rows = [verdicts, Content(_cuts_row(gauge.cuts, cells, width))]
    if gauge.about:
        rows.insert(0, Content(f"{gauge.about}:"))
    if gauge.mark:
        rows.append(_mark_row(gauge, cells, width))
    return tuple(rows)


def _cells(gauge: Gauge, width: int) -> list[int]:
    """Return each cell's width: that of its word, and an equal part of what is left."""
    words = [len(word) + 2 for word in gauge.verdicts]
    spare = max(width - len(gauge.cuts) - sum(words), 0)
    more = min(spare // len(words), MOST_SPARE)
    return [size + more for size in words]


def _verdict(word: str, size: int, here: bool) -> Content:
    return Content.styled(f" {word}".ljust(size), "bold reverse" if here else "")


def _cuts_row(cuts: tuple[str, ...], cells: list[int], width: int) -> str:
    """Return the numbers, each centred under its border as far as there is room."""
    row = ""
    at = 0
    for cut, size in zip(cuts, cells, strict=False):
        at += size
        start = max(at - len(cut) // 2, len(row) + (1 if row else 0))
        row = row.ljust(start) + cut
        at += 1
    return row[:width]


def _mark_row(gauge: Gauge, cells: list[int], width: int) -> Content:
    mark = gauge.mark
    assert mark is not None
    before = sum(cells[: mark.cell]) + mark.cell
    at = before + round(mark.share * (cells[mark.cell] - 1))
    words = f" {mark.words}"
    if at + 1 + len(words) > width:
        text = f"{mark.words} ".rjust(at)[-at:] + MARK if at > len(words) else MARK
        return Content.styled(text, "bold")
    return Content.styled(" " * at + MARK + words, "bold")
