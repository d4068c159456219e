"""How problems quote what an author wrote, and how they offer what would be right.

Nothing from a file reaches a terminal raw: characters that cannot be seen are replaced, and long
texts are cut.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from difflib import get_close_matches

HIDDEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f"
    "\ue000-\uf8ff\ufeff\ufffe\uffff\ud800-\udfff]"
)
"""Control characters, characters without width, those that turn the
writing direction, and those that no two machines show alike."""

REPLACEMENT = "\ufffd"
_LONGEST_QUOTED = 60


def shown(text: str, most: int = 40) -> str:
    """Return an author's text on one line, at most ``most`` characters, nothing hidden in it."""
    line = " ".join(HIDDEN.sub(REPLACEMENT, text).split())
    return line if len(line) <= most else line[: most - 1].rstrip() + "…"


def in_quotes(text: str) -> str:
    """Return a text as it is written in quotes, so that every character in it stands for itself."""
    if '"' in text or "\\" in text:
        return "'" + text.replace("'", "''") + "'"
    return f'"{text}"'


def quote_it(text: str) -> str:
    """Return the advice to put a text in quotes, with the text in them if it is short."""
    if len(text) > _LONGEST_QUOTED or HIDDEN.search(text):
        return "Put the whole text in quotes."
    return f"Put the whole text in quotes: {in_quotes(text)}."


def listed(words: Iterable[str], last: str = "or") -> str:
    """Return ``a, b or c``."""
    *front, end = [shown(word) for word in words]
    return f"{', '.join(front)} {last} {end}" if front else end


def nearest(word: str, allowed: Collection[str]) -> str | None:
    """Return the allowed word that is most like the one written, if any is like it."""
    found = get_close_matches(word[:100].casefold(), allowed, n=1, cutoff=0.6)
    return found[0] if found else None
