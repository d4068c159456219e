"""``g``: the words that stand on the step, what one of them means, the nearest of one unknown."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.glossary import Glossary, Term
from engine.guide.line import MENU, WORDS, Action
from engine.guide.prompt import Now
from engine.guide.talk import Mode
from engine.guide.visit import Visit
from engine.guide.wordbook import words_here
from engine.loader.glossary import load_glossary
from engine.loader.library import load
from tests.typed_jobs import HEADER, Watch, new_job, typed, visit

SHIPPED = load_glossary()[0]
FEW = Glossary(
    {
        "hatch": Term("hatch", "The way to the roof.", where="In the roof."),
        "edge": Term("edge", "Where the roof ends.", see=("hatch",)),
        "zone": Term("zone", "A stretch of circuit.", also=("bus", "feeder")),
    }
)


@pytest.fixture
def going(tmp_path: Path) -> Visit:
    begun = visit(new_job(tmp_path))
    begun.glossary = FEW
    return begun


def test_the_letter_stands_in_the_list_of_everything() -> None:
    assert Action("g") is Action.WORD
    assert Action.WORD in MENU
    assert WORDS[Action.WORD] == "what is that word"


def test_alone_it_lists_the_words_of_the_step_by_number(going: Visit) -> None:
    shown = going.enter("g")
    assert shown.lines == ("Which word?", " 1 edge", " 2 hatch", " 3 zone")
    assert going.asks == "which word?"
    picked = going.enter("1")
    assert picked.lines == ("edge: Where the roof ends.", "See also: hatch")
    assert going.talk.mode is Mode.STEP


def test_nothing_is_written_down_and_the_step_stays(going: Visit) -> None:
    before = going.prompt(), tuple(going.job.entries)
    for line in ("g", "1", "g hatch", "g htch", "1", "G", "hatch", "g", ""):
        going.enter(line)
    assert (going.prompt(), tuple(going.job.entries)) == before


def test_a_word_behind_the_letter_is_shown_at_once(going: Visit) -> None:
    assert going.enter("g HATCH").lines == ("hatch: The way to the roof.", "Where: In the roof.")
    assert going.enter("g feeder").lines == ("zone: A stretch of circuit.",)


def test_the_nearest_of_a_word_unknown_can_be_picked(going: Visit) -> None:
    shown = going.enter("g hach")
    assert shown.lines == ("The glossary has no word hach. Is it one of these?", " 1 hatch")
    assert going.enter("1").lines[0] == "hatch: The way to the roof."


def test_a_word_like_no_other_is_said_to_be_missing(going: Visit) -> None:
    assert going.enter("g qqq").lines == ("The glossary has no word qqq.",)
    assert going.talk.mode is Mode.STEP
    assert going.enter("g 屋上").lines == ("The glossary has no word ??.",)


@pytest.mark.parametrize("line", ["4", "0", "99999", "²", "-1", "2 3"])
def test_a_number_that_is_not_in_the_list_is_refused_and_the_list_stays(
    line: str, going: Visit
) -> None:
    going.enter("g")
    shown = going.enter(line)
    assert shown.refused or shown.lines[0].startswith("The glossary has no word")
    if shown.refused:
        assert "1 to 3, or a word." in shown.refused[-1]
        assert going.talk.mode is Mode.WORD


@pytest.mark.parametrize("line", ["edge", "g edge"])
def test_a_word_may_be_typed_instead_of_its_number(line: str, going: Visit) -> None:
    going.enter("g")
    assert going.enter(line).lines[0] == "edge: Where the roof ends."


def test_stop_and_leave_count_while_the_list_is_shown(going: Visit) -> None:
    going.enter("g")
    assert going.enter("x").lines[0].startswith("STOP")
    going.enter("")
    going.enter("g")
    assert going.enter("l").leave


def test_without_a_glossary_it_says_so(tmp_path: Path) -> None:
    begun = visit(new_job(tmp_path))
    assert begun.enter("g").lines == (
        "No word of the glossary stands here. Type one behind the g.",
    )


def test_it_works_at_a_nameplate_question(tmp_path: Path) -> None:
    going = typed(new_job(tmp_path), ("1", "2"))
    going.glossary = SHIPPED
    assert going.prompt().now is Now.NAMEPLATE
    assert " 2 phase" in going.enter("g").lines
    assert going.enter("2").lines[0].startswith("phase: ")


def test_the_words_of_a_step_come_in_the_order_of_the_step(tmp_path: Path) -> None:
    going = visit(new_job(tmp_path))
    words = words_here(SHIPPED, going.prompt())
    zones = [SHIPPED.find(zone.zone) for zone in going.prompt().zones]
    assert words.index("live") > 0
    assert all(term and term.word in words for term in zones)


def test_every_word_of_every_first_step_can_be_picked(tmp_path: Path) -> None:
    tree = load("blank-thermostat")
    going = visit(new_job(tmp_path, HEADER, tree), Watch(), tree=tree)
    going.glossary = SHIPPED
    count = len(going.enter("g").lines) - 1
    going.enter("")
    assert count > 3
    for number in range(1, count + 1):
        listed = going.enter("g").lines[number].split(maxsplit=1)[1]
        assert going.enter(str(number)).lines[0].startswith(f"{listed}: ")
