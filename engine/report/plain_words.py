"""Words of the trade that a customer need not know, and how each is said in plain ones.

The words stand in ``plain_words.json``. On the customer's page a word of the list is followed by
its explanation where it first stands, unless the sentence explains it itself.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

_FILE = Path(__file__).with_name("plain_words.json")
_EXPLAINED = re.compile(r"\s*(?:\(|,?\s*(?:that|which)\b|,\s*(?:the|a|an)\s)", re.IGNORECASE)
"""What may follow a word that its own sentence explains: ``the transformer that feeds …``."""


@lru_cache(maxsize=1)
def plain_words() -> Mapping[str, str]:
    """Return every word of the trade that has to be explained → its explanation."""
    words: dict[str, str] = json.loads(_FILE.read_text(encoding="utf-8"))["words"]
    return MappingProxyType(words)


@lru_cache(maxsize=1)
def _pattern() -> re.Pattern[str]:
    longest_first = sorted(plain_words(), key=len, reverse=True)
    letters = "".join(word for word in longest_first if len(word) == 1)
    words = "|".join(
        re.escape(word).replace(r"\ ", r"[\s-]+") for word in longest_first if len(word) > 1
    )
    # A letter alone is a terminal; behind a number or a degree sign it is a unit.
    before, after = r"(?<![\w°.\-'’])(?<!\d )", r"(?!\w|[.\-'’]\w)"
    letter = rf"{before}(?P<letter>(?-i:[{letters}])){after}"
    return re.compile(rf"\b(?P<word>{words})(?:e?s)?\b|{letter}", re.IGNORECASE)


def _found(text: str) -> Iterator[tuple[str, int]]:
    """Yield every word of the trade that is not explained where it stands, and where it ends."""
    for match in _pattern().finditer(text):
        word = match["word"] or match["letter"]
        if not _EXPLAINED.match(text, match.end()):
            yield _listed(word), match.end()


def _listed(word: str) -> str:
    """Return a word as the list has it."""
    plain = re.sub(r"[\s-]+", " ", word)
    same = (one for one in plain_words() if one.replace("-", " ").casefold() == plain.casefold())
    return next(same, word)


def trade_words(text: str) -> tuple[str, ...]:
    """Return the words of the trade that a text uses and nowhere explains, each once."""
    explained = {
        _listed(match["word"] or match["letter"])
        for match in _pattern().finditer(text)
        if _EXPLAINED.match(text, match.end())
    }
    return tuple(dict.fromkeys(word for word, _ in _found(text) if word not in explained))


def explained(text: str, already: frozenset[str] = frozenset()) -> str:
    """Return a text in which every word of the trade is explained once, where it first stands.

    Words in ``already`` have been explained before.
    """
    parts, at, done = [], 0, set(already)
    for word, end in _found(text):
        if word in done:
            continue
        done.add(word)
        parts.append(f"{text[at:end]} ({plain_words()[word]})")
        at = end
    return "".join((*parts, text[at:]))
