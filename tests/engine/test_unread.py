"""What a proof of *dead*, or a bleeding, has to read and to heed; tried on the shipped procedures.

The tester tried on a known source, all pairs and to ground, the source again: NFPA 70E-2024,
120.6(7), quoted in tests/oracle/test_osha.py. That a careless judgement is seen through is
checked by judgements as a careless author would write them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from engine.bands import read_bands
from engine.formula import parse
from engine.power import READ_FOR, Act
from engine.power.acts import (
    DC_VOLTS,
    EVERY_LEG,
    EVERY_PAIR,
    KNOWN_AFTER,
    KNOWN_BEFORE,
    OTHER_SIDE,
    UNDER_50,
)
from engine.reading import Function
from engine.trade.catalogue import FIGURES
from engine.tree import CARRY_ON, ActHead, Judgement, Outcome, ReadingSpec, Spread
from engine.unread import with_unread_said
from tests.technician import shipped

TREES = ("blank-thermostat", "unit-trips-breaker")
WORDS = shipped().vocabulary
SOURCE = ("known_source.1", "known_source.2")
BEFORE = ReadingSpec("before", Function.VOLTS, Spread.BETWEEN, SOURCE)
PAIRS = ReadingSpec("pairs", Function.VOLTS, Spread.PAIRS, ("contactor line",), "dead")
GROUND = ReadingSpec("ground", Function.VOLTS, Spread.TO_GROUND, ("contactor line",), "dead")
AFTER = replace(BEFORE, name="after")
ALL = (BEFORE, PAIRS, GROUND, AFTER)
EVERYTHING = READ_FOR[Act.PROVE_DEAD]
WORKS, GONE = ("min(before, after)", "below 50 V"), ("max(pairs, ground)", "below 3 V")


def heads(*acts: Act) -> Iterator[tuple[str, ActHead]]:
    """Yield the acts of the shipped trees that are of some kinds, by tree and step."""
    for tree in TREES:
        for step in shipped(tree).steps.values():
            if isinstance(step.head, ActHead) and step.head.act in acts:
                yield f"{tree}: {step.name}", step.head


def proof(
    *readings: ReadingSpec, works: tuple[str, str] = WORKS, gone: tuple[str, str] = GONE
) -> ActHead:
    """Return a proof of *dead*: first judged whether the meter works, then whether volts are gone.

    Without a way to judge the meter only the latter is judged.
    """
    meter = _bands(*works, ("not dead", "shut"), ("", CARRY_ON)) if works[0] else ()
    volts = _bands(*gone, ("dead", "work"), ("not dead", "shut"))
    turns = (*meter, *volts)
    return ActHead(Act.PROVE_DEAD, "unit", box="control box", readings=readings, judgements=turns)


def _bands(judge: str, cut: str, under: tuple[str, str], over: tuple[str, str]) -> tuple[Judgement]:
    bands, misfits = read_bands([cut, "otherwise"], FIGURES)
    assert not misfits
    keys = zip(bands.keys, (under, over), strict=True)
    answers = {key: Outcome(counts_as=word, then=to) for key, (word, to) in keys}
    return (Judgement(answers, parse(judge, FIGURES), bands),)


def unread(head: ActHead) -> tuple[str, ...]:
    said = with_unread_said(head, WORDS)
    assert isinstance(said, ActHead)
    return said.unread


def test_every_shipped_proof_bleeding_and_check_reads_all_of_it() -> None:
    found = list(heads(*READ_FOR))
    assert {head.act for _, head in found} == set(READ_FOR)
    assert len(found) > 20
    for where, head in found:
        # Of the compressor's leads only; windings join its legs, and nothing rests on it.
        to_the_shell = (EVERY_PAIR,) if head.act is Act.INSULATION_TEST else ()
        assert unread(head) == to_the_shell, where


def test_no_reading_of_a_shipped_proof_can_be_left_out() -> None:
    """Neither where a judgement still asks for it, nor where that is mended, too."""
    for where, head in heads(Act.PROVE_DEAD, Act.DISCHARGE):
        for gone in head.readings:
            rest = tuple(one for one in head.readings if one is not gone)
            if not rest or gone.condition:
                continue
            assert unread(replace(head, readings=rest)), (where, gone.name)


@pytest.mark.parametrize(
    ("head", "parts"),
    [
        (proof(*ALL), ()),
        (proof(PAIRS, GROUND, AFTER, works=("min(after)", "below 50 V")), (KNOWN_BEFORE,)),
        (proof(BEFORE, PAIRS, GROUND, works=("min(before)", "below 50 V")), (KNOWN_AFTER,)),
        (proof(PAIRS, GROUND, works=("", "below 3 V")), (KNOWN_BEFORE, KNOWN_AFTER)),
        (proof(BEFORE, PAIRS, AFTER, gone=("max(pairs)", "below 3 V")), (EVERY_LEG,)),
        (proof(BEFORE, GROUND, AFTER, gone=("max(ground)", "below 3 V")), (EVERY_PAIR,)),
    ],
    ids=["whole", "not before", "not after", "tester untried", "not to ground", "ground only"],
)
def test_a_part_that_is_not_read_is_named(head: ActHead, parts: tuple[str, ...]) -> None:
    assert unread(head) == parts


@pytest.mark.parametrize(
    ("head", "parts"),
    [
        (proof(*ALL, works=("max(before, after)", "below 50 V")), (KNOWN_BEFORE, KNOWN_AFTER)),
        (proof(*ALL, works=("min(before)", "below 50 V")), (KNOWN_AFTER,)),
        (proof(*ALL, gone=("max(pairs)", "below 3 V")), (EVERY_LEG,)),
        (proof(*ALL, gone=("min(pairs, ground)", "below 3 V")), (EVERY_PAIR, EVERY_LEG)),
        (proof(*ALL, gone=("max(pairs, ground)", "below 30 V")), (EVERY_PAIR, EVERY_LEG)),
        (proof(*ALL, gone=("max(pairs, ground)", "below 5 % of rated_volts")), EVERYTHING),
    ],
    ids=["either", "second not judged", "ground not judged", "least", "18 V", "unsure cut"],
)
def test_a_part_that_is_read_and_not_heeded_is_named(head: ActHead, parts: tuple[str, ...]) -> None:
    assert unread(head) == parts


LOAD = tuple(
    replace(one, points=("contactor load",)) if one in (PAIRS, GROUND) else one for one in ALL
)


@pytest.mark.parametrize(
    ("head", "parts"),
    [
        (proof(BEFORE, AFTER, PAIRS, GROUND), (KNOWN_AFTER,)),
        (proof(PAIRS, BEFORE, GROUND, AFTER), (KNOWN_BEFORE,)),
        (proof(*LOAD), (EVERY_PAIR, EVERY_LEG)),
        (proof(BEFORE, PAIRS, replace(GROUND, or_not_there=True), AFTER), (EVERY_LEG,)),
        (
            proof(BEFORE, replace(PAIRS, function=Function.DC_VOLTS), GROUND, AFTER),
            (EVERY_PAIR,),
        ),
    ],
    ids=["source twice first", "source second", "behind the contactor", "if it is there", "dc"],
)
def test_order_and_place_of_the_readings_count(head: ActHead, parts: tuple[str, ...]) -> None:
    assert unread(head) == parts


def test_a_word_instead_of_readings_proves_nothing() -> None:
    head = ActHead(
        Act.PROVE_DEAD,
        "unit",
        box="control box",
        judgements=(Judgement({"all dead": Outcome(counts_as="dead", then="work")}),),
    )
    assert unread(head) == EVERYTHING


@pytest.mark.parametrize(
    ("function", "judge", "cut", "parts"),
    [
        (Function.DC_VOLTS, "max(can, lines)", "below 5 V", ()),
        (Function.DC_VOLTS, "max(lines)", "below 5 V", (DC_VOLTS,)),
        (Function.DC_VOLTS, "max(can, lines)", "below 60 V", (DC_VOLTS,)),
        (Function.VOLTS, "max(can, lines)", "below 5 V", (DC_VOLTS,)),
    ],
    ids=["whole", "can not judged", "60 V", "ac"],
)
def test_what_is_bled_is_read_in_dc(
    function: Function, judge: str, cut: str, parts: tuple[str, ...]
) -> None:
    can = ReadingSpec("can", function, Spread.BETWEEN, ("run_cap.C", "run_cap.HERM"), "dead")
    lines = replace(PAIRS, name="lines", function=function)
    turns = _bands(judge, cut, ("below limit", "work"), ("above limit", "shut"))
    head = ActHead(
        Act.DISCHARGE, "unit", box="control box", readings=(can, lines), judgements=turns
    )
    assert unread(head) == parts


LEGS, SHELL = replace(PAIRS, function=Function.OHMS), replace(GROUND, function=Function.OHMS)


@pytest.mark.parametrize(
    ("judge", "cut", "readings", "parts"),
    [
        ("min(pairs, ground)", "below 1 Mohm", (LEGS, SHELL), ()),
        ("min(earlier.legs, ground)", "below 1 Mohm", (SHELL,), ()),
        ("min(ground)", "below 1 Mohm", (LEGS, SHELL), (EVERY_PAIR,)),
        ("min(pairs)", "below 1 Mohm", (LEGS,), (EVERY_LEG,)),
        ("max(pairs, ground)", "below 1 Mohm", (LEGS, SHELL), (EVERY_PAIR, EVERY_LEG)),
    ],
    ids=["whole", "pairs before", "pairs not judged", "not to ground", "best leg"],
)
def test_a_check_is_clear_only_to_ground_and_between_legs(
    judge: str, cut: str, readings: tuple[ReadingSpec, ...], parts: tuple[str, ...]
) -> None:
    turns = _bands(judge, cut, ("fault", "shut"), ("clear", "work"))
    head = ActHead(Act.CHECK, "unit", box="control box", readings=readings, judgements=turns)
    wanted = tuple(one for one in unread(head) if one != OTHER_SIDE)
    assert wanted == parts


R_TO_C = ReadingSpec("volts", Function.VOLTS, Spread.BETWEEN, ("thermostat.R", "thermostat.C"))


@pytest.mark.parametrize(
    ("cut", "over", "parts"),
    [
        ("below 50 V", "50 or more", ()),
        ("below 85 % of control_volts", "50 or more", ()),
        ("below 60 V", "50 or more", (UNDER_50,)),
        ("below 50 V", "under 50", (UNDER_50,)),
        ("below 85 % of control_volts", "under 50", (UNDER_50,)),
    ],
)
def test_a_control_circuit_is_low_only_by_a_reading_under_50_volts(
    cut: str, over: str, parts: tuple[str, ...]
) -> None:
    turns = _bands("volts", cut, ("under 50", "work"), (over, "shut"))
    head = ActHead(Act.READ_LIVE, "control", box="thermostat", readings=(R_TO_C,), judgements=turns)
    assert unread(head) == parts
    assert unread(replace(head, readings=())) == (UNDER_50,)
    assert unread(replace(head, zone="unit")) == ()
