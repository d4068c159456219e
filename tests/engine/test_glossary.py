"""The glossary: which form of a word counts where, what is offered, what is wrong with a file."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.glossary import NO_WORDS, Glossary, Term, parts_of
from engine.loader.glossary import load_glossary
from engine.loader.library import check

WORDS = Glossary(
    {
        term.word: term
        for term in (
            Term("contactor", "A heavy relay.", also=("contactors",), see=("coil",)),
            Term("control box", "The box with the contactor.", also=("control boxes",)),
            Term("control", "The 24 V side."),
            Term("box", "Where hands go.", also=("boxes",)),
            Term("coil", "A winding that moves a relay."),
            Term("FAN", "A terminal of the capacitor."),
            Term("fan", "What moves air.", also=("fans",)),
            Term("C", "The common wire."),
            Term("low-impedance volts", "Volts under a little load.", also=("low-Z",)),
            Term("R-410A", "A refrigerant."),
            Term("R", "The 24 V wire."),
        )
    }
)
SHORT = """\
format: 1
glossary: a library's units
words:
  contactor:
    is: The shop's own words.
    see: [coil]
"""


def found(form: str) -> str:
    term = WORDS.find(form)
    return term.word if term else ""


@pytest.mark.parametrize(
    ("form", "word"),
    [
        ("contactors", "contactor"),
        ("Contactor", "contactor"),
        ("CONTROL BOX", "control box"),
        ("fan", "fan"),
        ("FAN", "FAN"),
        ("Fan", "fan"),
        ("c", "C"),
        ("low z", "low-impedance volts"),
        ("low-Z", "low-impedance volts"),
        ("r-410a", "R-410A"),
        ("the contactor's", ""),
        ("contactor's", "contactor"),
        ("relay", ""),
        ("", ""),
        ("...", ""),
    ],
)
def test_a_word_is_found_by_any_of_its_forms(form: str, word: str) -> None:
    assert found(form) == word


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Open the control box", ("control box",)),
        ("The control fuse; the box", ("control", "box")),
        ("HERM to C, then FAN to C. Does the fan turn?", ("C", "FAN", "fan")),
        ("c and r in small letters are no terminals", ()),
        ("R-410A leaves no mark on R", ("R-410A", "R")),
        ("The contactor's coils", ("contactor",)),
        ("Low-impedance volts, or low-Z", ("low-impedance volts",)),
        ("", ()),
    ],
)
def test_the_longest_form_counts_and_capitals_count_as_written(
    text: str, words: tuple[str, ...]
) -> None:
    assert WORDS.words_in([text]) == words


def test_a_word_of_several_texts_is_listed_once_where_it_first_stands() -> None:
    assert WORDS.words_in(["coil", "contactor and coil"]) == ("coil", "contactor")


def test_the_nearest_is_offered_and_what_stands_in_it_first() -> None:
    assert WORDS.nearest("contacter")[0] == "contactor"
    assert WORDS.nearest("fans of the contactr")[0] == "fan"
    assert WORDS.nearest("zzz") == ()
    assert len(WORDS.nearest("control bx")) <= 3


def test_nothing_is_found_where_there_is_nothing() -> None:
    assert NO_WORDS.find("fan") is None
    assert NO_WORDS.nearest("fan") == ()
    assert NO_WORDS.words_in(["fan"]) == ()


@given(st.lists(st.sampled_from(["fan", "FAN", "control", "box", "Box", "x", "R", "410A", "7"])))
def test_every_part_of_a_text_comes_out_once_and_in_order(parts: list[str]) -> None:
    text = " ".join(parts)
    assert [part for part, _ in WORDS.explained(text)] == parts
    named = {word for _, word in WORDS.explained(text) if word}
    assert set(WORDS.words_in([text])) == named


@given(st.text())
def test_any_text_can_be_looked_up(text: str) -> None:
    WORDS.find(text)
    WORDS.nearest(text)
    assert len(list(WORDS.explained(text))) == len(parts_of(text))


# --- files ----------------------------------------------------------------------------------------


def home_with(folder: Path, text: str) -> Path:
    (folder / "trees").mkdir()
    (folder / "trees" / "glossary.yaml").write_text(text, encoding="utf-8", newline="\n")
    return folder


def test_the_shops_own_words_come_before_the_shipped(tmp_path: Path) -> None:
    glossary, problems = load_glossary(home_with(tmp_path, SHORT))
    assert problems == ()
    assert glossary.terms["contactor"].means == "The shop's own words."
    assert "coil" in glossary.terms


def test_a_file_that_cannot_be_read_leaves_the_shipped_words(tmp_path: Path) -> None:
    glossary, problems = load_glossary(home_with(tmp_path, "words: [\n"))
    assert glossary.find("contactors") is not None
    assert problems
    assert {one.span.path for one in problems} == {str(tmp_path / "trees" / "glossary.yaml")}


@pytest.mark.parametrize(
    ("wrong", "right", "place", "code", "fix"),
    [
        ("see: [coil]", "see: [coyl]", "6:11", "unknown-name", "Did you mean coil?"),
        ("    is:", "    means:", "4:3", "missing-key", ""),
        ("    see:", "    sea:", "6:5", "unknown-key", ""),
        ("glossary:", "glosary:", "2:1", "unknown-kind", "Did you mean `glossary:`?"),
        ("    see:", "    also: [Relay, relay]\n  relay:\n    is: One.\n    see:", "7:3", "", ""),
        ("own words.", "words. It is now safe.", "5:30", "never-said", ""),
    ],
)
def test_a_problem_has_its_line_and_column(
    wrong: str, right: str, place: str, code: str, fix: str, tmp_path: Path
) -> None:
    path = tmp_path / "glossary.yaml"
    path.write_text(SHORT.replace(wrong, right), encoding="utf-8", newline="\n")
    first = check(path)[0]
    assert (f"{first.span.line}:{first.span.column}", first.code) == (place, code or "same-name")
    if fix:
        assert first.fix == fix
