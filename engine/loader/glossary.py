"""The glossary: from the data of ``glossary.yaml`` to `engine.glossary.Glossary`, and its checks.

A shop's own words lie in a ``glossary.yaml`` beside its own trees and come before the shipped ones.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from engine.glossary import Glossary, Parts, Term, parts_of
from engine.loader.building import Building, Names, names, offer, text, texts
from engine.loader.loading import FileRead, read_file
from engine.loader.shelves import Found, Shelves, shelves
from engine.loader.wording import shown
from engine.problems import Problem
from engine.safe_words import never_said

_WORDS = "words"
_KIND = "glossary"


def load_glossary(home: Path | None = None) -> tuple[Glossary, tuple[Problem, ...]]:
    """Return every word there is, a home's own before the shipped, and what is wrong with them."""
    files = [read_file(found) for found in shelves(home).glossaries()]
    known = _together(files)
    return known, tuple(sorted({one for file in files for one in _problems(file, known)}))


def check_glossary(found: Found, where: Shelves) -> tuple[Problem, ...]:
    """Return what is wrong with one file of words; it may name the words of the others."""
    file = read_file(found)
    known = _together([file, *(read_file(other) for other in where.glossaries())])
    return tuple(sorted(set(_problems(file, known))))


def _together(files: Iterable[FileRead]) -> Glossary:
    """Return the words of all files; where a word is in two, the first file's counts."""
    terms: dict[str, Term] = {}
    for file in files:
        for word, term in build_glossary(names(file.document.data)).terms.items():
            terms.setdefault(word, term)
    return Glossary(terms)


def _problems(file: FileRead, known: Glossary) -> tuple[Problem, ...]:
    data = names(file.document.data)
    if _KIND not in data:
        return file.shape
    building = Building(file.document, file.raw)
    check_words(building, build_glossary(data), known)
    return (*file.shape, *building.problems)


def build_glossary(data: Names) -> Glossary:
    """Return the words of a file."""
    written = names(data.get(_WORDS))
    return Glossary({word: _term(word, names(said)) for word, said in written.items()})


def _term(word: str, data: Names) -> Term:
    return Term(
        word=word,
        means=text(data, "is"),
        where=text(data, "where"),
        also=texts(data, "also"),
        see=texts(data, "see"),
        customer=text(data, "customer"),
    )


def check_words(file: Building, glossary: Glossary, known: Glossary) -> None:
    """Keep a problem for a form of two words, a word named that is not there, what is never said.

    ``known`` holds every word that may be named.
    """
    taken: dict[Parts, str] = {}
    for term in glossary.terms.values():
        _forms(file, term, taken)
        for at, other in enumerate(term.see):
            if other not in known.terms:
                sentence = f"The glossary has no word {shown(other)}."
                path = (_WORDS, term.word, "see", at)
                file.say("unknown-name", path, sentence, offer(other, known.terms))
        _never(file, term)


def _forms(file: Building, term: Term, taken: dict[Parts, str]) -> None:
    for form in term.forms:
        first = taken.setdefault(parts_of(form), term.word)
        if first != term.word:
            sentence = f"{shown(form).capitalize()} is a form of {shown(first)} already."
            file.say_key("same-name", (_WORDS, term.word), sentence, "Keep it with one of the two.")


def _never(file: Building, term: Term) -> None:
    for key, words in (("is", term.means), ("where", term.where), ("customer", term.customer)):
        for said in never_said(words):
            sentence = f"{shown(said.words).capitalize()}: a text that {said.never.name}."
            path = (_WORDS, term.word, key)
            file.say("never-said", path, sentence, said.never.instead, said.column - 1)
