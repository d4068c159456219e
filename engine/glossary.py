"""What the words of the trade mean: one list for the walk, for practice and for documents.

A word has forms, its plural and other names. A form of small letters is found whatever the case; a
form with a capital counts only as written, so that FAN, a terminal, is not every fan. Of forms that
begin at the same word of a text the longest counts: *control box* is not *control*.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property

Parts = tuple[str, ...]
"""A form as the words it is made of: ``("low", "impedance", "volts")``."""

_OWN = re.compile(r"['’]s\b")
_WORD = re.compile(r"[^\W_]+(?:['’][^\W_]+)*")
_MOST_OFFERED = 3


@dataclass(frozen=True, slots=True)
class Term:
    """One word of the glossary."""

    word: str
    means: str
    """What it is, in one or two plain sentences."""
    where: str = ""
    """Where it is on a rooftop unit."""
    also: tuple[str, ...] = ()
    """Its other forms."""
    see: tuple[str, ...] = ()
    """Words that belong to it."""
    customer: str = ""
    """How it is said to the customer; empty for a word that anybody knows."""

    @property
    def forms(self) -> tuple[str, ...]:
        """Every form, the word itself first."""
        return (self.word, *self.also)


@dataclass(frozen=True)
class Glossary:
    """Every word that is explained."""

    terms: Mapping[str, Term]

    def find(self, form: str) -> Term | None:
        """Return the word that is written so, else the first that is but for its capitals."""
        parts = parts_of(form)
        word = self._known(parts) or self._in_any_case.get(_small(parts))
        return self.terms[word] if word else None

    def _known(self, parts: Parts) -> str:
        """Return the word with a form that counts for what is written; empty if none has."""
        return self._as_written.get(parts) or self._as_written.get(_small(parts), "")

    def nearest(self, form: str) -> tuple[str, ...]:
        """Return the words nearest to one that is not there, at most three; those in it first."""
        small = {" ".join(parts): word for parts, word in self._in_any_case.items()}
        like = get_close_matches(" ".join(_small(parts_of(form))), small, _MOST_OFFERED)
        found = (*self.words_in([form]), *(small[one] for one in like))
        return tuple(dict.fromkeys(found))[:_MOST_OFFERED]

    def words_in(self, texts: Iterable[str]) -> tuple[str, ...]:
        """Return the words that stand in texts, each once, in the order of the texts."""
        found = (word for text in texts for _, word in self.explained(text) if word)
        return tuple(dict.fromkeys(found))

    def explained(self, text: str) -> Iterator[tuple[str, str]]:
        """Yield every part of a text with the word that explains it; empty where none does."""
        parts = parts_of(text)
        at = 0
        while at < len(parts):
            length, word = self._at(parts, at)
            yield from ((part, word) for part in parts[at : at + length])
            at += length

    def _at(self, parts: Parts, at: int) -> tuple[int, str]:
        """Return how many parts from a place on are a form, and the word; one and none if none."""
        for length in range(min(self._longest, len(parts) - at), 0, -1):
            if word := self._known(parts[at : at + length]):
                return length, word
        return 1, ""

    @cached_property
    def _as_written(self) -> Mapping[Parts, str]:
        return {
            parts_of(form): term.word
            for term in reversed(list(self.terms.values()))
            for form in term.forms
        }

    @cached_property
    def _in_any_case(self) -> Mapping[Parts, str]:
        return {_small(parts): word for parts, word in self._as_written.items()}

    @cached_property
    def _longest(self) -> int:
        return max(map(len, self._as_written), default=0)


NO_WORDS = Glossary({})
"""Where no glossary was loaded."""


def parts_of(text: str) -> Parts:
    """Return the words of a text; hyphens part them, and a possessive is the word itself."""
    return tuple(_WORD.findall(_OWN.sub("", text)))


def _small(parts: Parts) -> Parts:
    return tuple(part.casefold() for part in parts)
