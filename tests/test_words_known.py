"""Every word of the shipped trees is plain English or stands in the glossary.

What fails here lists the words that are missing, each with a text it stands in. A word that
anybody knows goes into ``tests/data/plain_words.txt``, in small letters, one a line, sorted; a word
of the trade, or one that means something else there than in a newspaper, goes into
``trees/glossary.yaml`` (a plural under ``also``). What a word means is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest

from engine.glossary import Glossary
from engine.guide.meter import LINES
from engine.layouts import LAYOUTS
from engine.loader.document import Data
from engine.loader.glossary import load_glossary
from engine.loader.library import check
from engine.loader.shelves import CASES, GLOSSARY, READINGS
from engine.loader.text import read
from engine.power import Act, ZoneWord
from engine.reading import Function
from engine.shipped import data

ROOT = Path(__file__).parents[1]
PLAIN = ROOT / "tests" / "data" / "plain_words.txt"
FILES = [
    path
    for path in sorted(data("trees").rglob("*.yaml"))
    if path.name != GLOSSARY and not path.name.endswith((CASES, READINGS))
]
PROSE = frozenset(
    {"title", "do", "why", "means", "verdict", "ask", "repair", "parts", "left", "photo", "tools"}
    | {"meanwhile", "who", "shows", "box", "zone", "tell customer", "said as", "one of", "any of"}
    | {"the name", "DANGER", "WARNING", "CAUTION", "NOTICE"}
)
"""Names whose texts are shown to people."""
TITLES = frozenset({"points", "signs", "suspects"})
"""Names below which a text is a title."""
PROJECT = (
    *("complaint", "tree", "step", "reading", "band", "suspect", "finding", "zone", "device"),
    *("box", "act", "item", "walk", "job", "unit file", "trial", "practice", "problem"),
)
"""The words of the project, as its first page lists them."""
_BRACES = re.compile(r"\{[^}]*\}")


@cache
def glossary() -> Glossary:
    return load_glossary()[0]


@cache
def plain() -> frozenset[str]:
    return frozenset(PLAIN.read_text(encoding="utf-8").split())


def prose(what: Data, key: str = "") -> Iterator[str]:
    """Yield every text of a file that people read; what is put in for a name in braces is not."""
    if isinstance(what, str):
        if key in PROSE:
            yield _BRACES.sub(" 0 ", what)
    elif isinstance(what, list):
        for one in what:
            yield from prose(one, key)
    else:
        for name, one in what.items():
            if key == "choices":
                yield name
            yield from prose(one, "title" if key in TITLES and isinstance(one, str) else name)


def unknown(texts: Iterable[str]) -> dict[str, str]:
    """Return the words that are neither explained nor plain, each with a text it stands in."""
    return {
        part.casefold(): text
        for text in texts
        for part, word in glossary().explained(text)
        if not word and not part[0].isdigit() and part.casefold() not in plain()
    }


def lines(missing: dict[str, str]) -> str:
    return "".join(f"\n  {word}: {text}" for word, text in sorted(missing.items()))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_word_of_a_shipped_file_is_plain_or_explained(path: Path) -> None:
    what = read(path.name, path.read_bytes()).data
    assert what
    missing = unknown(prose(what))
    assert not missing, f"{path.name} has words that nothing explains:{lines(missing)}"


def test_texts_that_people_read_are_found() -> None:
    text = (
        "title: One\nchoices: {two words: {means: Three}}\nparts: [Four, '{five} six']\n"
        "points: {p.q: Seven}\nthen: eight\n"
    )
    found = list(prose(read("x.yaml", text.encode()).data or {}))
    assert found == ["One", "two words", "Three", "Four", " 0  six", "Seven"]


def test_a_word_that_nobody_explains_is_found() -> None:
    found = unknown(["The contactor's sprocket, 24 V"])
    assert list(found) == ["sprocket"]


def test_the_glossary_explains_itself_in_plain_words() -> None:
    terms = glossary().terms.values()
    missing = unknown(text for one in terms for text in (one.means, one.where, one.customer))
    assert not missing, f"The glossary uses words that nothing explains:{lines(missing)}"


@pytest.mark.parametrize("line", LINES.values())
def test_every_meter_line_is_plain_or_explained(line: str) -> None:
    assert not unknown([line])


def test_every_zone_device_and_box_is_explained() -> None:
    names = [
        name
        for layout in LAYOUTS.values()
        for name in (*layout.zone_at, *layout.device_at, *layout.box_at)
    ]
    assert [name for name in dict.fromkeys(names) if not glossary().find(name)] == []


@pytest.mark.parametrize("word", [*Function, *PROJECT])
def test_every_meter_function_and_word_of_the_project_is_explained(word: str) -> None:
    assert glossary().find(word) is not None


def test_what_zones_and_acts_are_called_is_plain_or_explained() -> None:
    assert not unknown([*ZoneWord, *Act])


def test_the_shipped_glossary_has_no_problem() -> None:
    assert [str(one) for one in check(data("trees") / GLOSSARY)] == []


def test_the_list_of_plain_words_is_sorted_and_holds_no_word_of_the_glossary() -> None:
    written = PLAIN.read_text(encoding="utf-8").splitlines()
    assert written == sorted(set(written))
    assert [word for word in written if word != word.casefold() or not word.strip()] == []
    assert [word for word in written if glossary().words_in([word])] == []


def test_a_word_is_explained_in_one_or_two_sentences() -> None:
    for term in glossary().terms.values():
        for text in filter(None, (term.means, term.where)):
            assert text.endswith("."), text
            assert text[0] == text[0].upper(), text
            assert 1 <= len(re.findall(r"[.?](?=\s|$)", text)) <= 2, text
        assert not term.customer.endswith("."), term.customer


def test_every_word_that_belongs_to_another_is_there() -> None:
    seen = {word for term in glossary().terms.values() for word in term.see}
    assert seen <= set(glossary().terms)
