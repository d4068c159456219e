"""Words of the trade that a customer need not know, and how each is said in plain ones.

Which words these are, and what is said for them, stands in the glossary. On the customer's page
such a word is followed by its explanation where it first stands, unless the sentence explains it
itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from engine.glossary import Glossary, Parts, Term, parts_of

_EXPLAINED = re.compile(r"\s*(?:\(|,?\s*(?:that|which)\b|,\s*(?:the|a|an)\s)", re.IGNORECASE)
"""What may follow a word that its own sentence explains: ``the transformer that feeds …``."""
_OWN = re.compile(r"['’]s\b")
_ALONE = (r"(?<![\w°.\-'’])(?<!\d )", r"(?!\w|[.\-'’]\w)")
"""Around a letter that is a terminal; behind a number or a degree sign it is a unit."""


@dataclass(frozen=True)
class PlainWords:
    """The words of a glossary that have to be explained to a customer."""

    glossary: Glossary

    @cached_property
    def _terms(self) -> dict[Parts, Term]:
        return {
            parts_of(form): term for term in self.glossary.terms.values() for form in term.forms
        }

    @cached_property
    def _pattern(self) -> re.Pattern[str]:
        """Every form of every word, the longest first: *control box* is not *control*."""
        forms = sorted(self._terms, key=lambda parts: (-len(parts), parts))
        return re.compile("|".join(map(_written, forms)) or r"(?!)")

    @cached_property
    def _explanations(self) -> re.Pattern[str]:
        """What is put behind words here: words in it need no explanation of their own."""
        said = {term.customer for term in self.glossary.terms.values() if term.customer}
        return re.compile("|".join(rf"(?<=\(){re.escape(one)}(?=\))" for one in said) or r"(?!)")

    def _found(self, text: str) -> Iterator[tuple[Term, int]]:
        """Yield every word that has to be explained, and where it ends."""
        for match in self._pattern.finditer(self._explanations.sub(_blank, text)):
            parts = parts_of(match[0])
            term = self._terms.get(parts) or self._terms.get(tuple(map(str.casefold, parts)))
            if term and term.customer:
                own = _OWN.match(text, match.end())
                yield term, own.end() if own else match.end()

    def trade_words(self, text: str) -> tuple[str, ...]:
        """Return the words of the trade that a text uses and nowhere explains, each once."""
        found = list(self._found(text))
        told = {term.word for term, end in found if _EXPLAINED.match(text, end)}
        return tuple(dict.fromkeys(term.word for term, _ in found if term.word not in told))

    def explained(self, text: str, already: frozenset[str] = frozenset()) -> str:
        """Return a text in which every word of the trade is explained once, where it first stands.

        Words in ``already`` have been explained before.
        """
        wanted = set(self.trade_words(text)) - already
        parts, at = [], 0
        for term, end in self._found(text):
            if term.word in wanted:
                wanted.remove(term.word)
                parts.append(f"{text[at:end]} ({term.customer})")
                at = end
        return "".join((*parts, text[at:]))


def _blank(match: re.Match[str]) -> str:
    return " " * len(match[0])


def _written(form: Parts) -> str:
    """Return the pattern of a form; one of small letters is found whatever the case."""
    words = r"[\s-]+".join(map(re.escape, form))
    before, after = _ALONE if len(words) == 1 else (r"\b", r"\b")
    if any(part != part.casefold() for part in form):
        return f"{before}{words}{after}"
    return f"{before}(?i:{words}){after}"
