"""How wide a text is and where it breaks, without a font at hand.

Widths are those of Helvetica, in thousandths of the letter's height (Adobe's font metrics, from
memory); Arial and Liberation Sans have the same. What is not in the table counts as wide. A
viewer without any of the three shows letters up to a tenth wider, for which `MARGIN` leaves room.
"""

from __future__ import annotations

from collections.abc import Mapping

FONTS = "Arial, Helvetica, 'Liberation Sans', sans-serif"
MARGIN = 1.08
BOLD = 1.08
"""Times that bold letters are as wide."""
_WIDE = 800

_BY_WIDTH = (
    (191, "'"),
    (222, "ijl‘’"),
    (260, "|"),
    (278, "!,./:;I[\\]ft ·"),
    (333, '()-`r"“”{}'),
    (389, "*"),
    (469, "^"),
    (500, "Jcksvxyz"),
    (556, "#$0123456789?L_abdeghnopqu–"),
    (584, "+<=>~×÷−"),
    (611, "FTZ"),
    (667, "&ABEKPSVXY"),
    (722, "CDHNRUw"),
    (778, "GOQ"),
    (833, "Mm"),
    (889, "%"),
    (944, "W"),
    (1000, "→—…"),
    (1015, "@"),
)
_WIDTHS: Mapping[str, int] = {sign: width for width, signs in _BY_WIDTH for sign in signs}


def width(text: str, size: float, *, bold: bool = False) -> float:
    """Return how wide a text of letters ``size`` high is, with the margin."""
    thousandths = sum(_WIDTHS.get(sign, _WIDE) for sign in text)
    return thousandths * size / 1000 * MARGIN * (BOLD if bold else 1)


def wrapped(text: str, size: float, room: float, *, bold: bool = False) -> tuple[str, ...]:
    """Return a text as lines no wider than ``room``; a word that is wider is broken."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if width(longer, size, bold=bold) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        while width(word, size, bold=bold) > room:
            at = _fits(word, size, room, bold=bold)
            lines.append(word[:at])
            word = word[at:]
        line = word
    return (*lines, line) if line or not lines else tuple(lines)


def _fits(word: str, size: float, room: float, *, bold: bool) -> int:
    """Return how many letters of a word fit; one at least."""
    at = 1
    while at < len(word) and width(word[: at + 1], size, bold=bold) <= room:
        at += 1
    return at
