"""The words of the file format's machinery, which no author should have to know."""

from __future__ import annotations

import re
from collections.abc import Iterable

from engine.problems import Problem

_WORDS = re.compile(
    r"\b(scalar|mapping|token|anchor|alias|block|flow|node|stream|document|indicator|parse[rd]?|"
    r"schema|property|properties|array|null|boolean|integer|enum|regex|validat\w+)\b",
    re.IGNORECASE,
)
_QUOTED = re.compile(r"`[^`]*`|\"[^\"]*\"|'[^']*'")


def jargon(problems: Iterable[Problem]) -> list[str]:
    """Return what problems say in words of the machinery, outside of what they quote."""
    said = (f"{one.sentence} {one.fix}" for one in problems)
    return [text for text in said if _WORDS.search(_QUOTED.sub("", text))]
