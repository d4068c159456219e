"""Searches small enough to be worked out on paper; the working stands in each docstring."""

from __future__ import annotations

import random
from math import inf

import pytest

from engine.matrix import Check, Matrix, Repair, plain_check
from engine.suspects.belief import believe, two_at_once
from engine.suspects.odds import Odds
from engine.suspects.planning import MOST_STATES, Method, Plan, plan
from engine.suspects.ranking import rank
from engine.suspects.repairs import Searched, repair_order
from engine.suspects.weighing import by_repairs, weigh
from tests.matrices import random_matrix

HALVES = {"a": 1.0, "b": 1.0}
THIRDS = {"a": 1.0, "b": 1.0, "c": 1.0}


def by_odds(matrix: Matrix, known: dict[str, str], coarse: float = 0.0) -> Plan:
    weights = tuple(believe(matrix, known).remaining.values())
    return plan(Odds(matrix, weights, known, coarse=coarse))


def test_a_check_that_is_not_permitted_does_not_stand_in_the_way_of_those_that_are() -> None:
    """Check x (1 min) parts a from b and c; only y, not permitted, would part b from c.

    x is made, and then nothing is left that can be: 1 minute. After x has shown b or c nothing
    permitted leads on.
    """
    barred = plain_check("y", inf, {"a": "0", "b": "0", "c": "1"})
    matrix = Matrix(THIRDS, (plain_check("x", 1.0, {"a": "0", "b": "1", "c": "1"}), barred))
    for found in (rank(matrix, {}), rank(matrix, {}, most_states=0)):
        assert (found.next, found.minutes) == ("x", 1.0)
    after = rank(matrix, {"x": "1"})
    assert (after.next, after.minutes) == (None, inf)
    assert [one.task.name for one in by_odds(matrix, {}).choices] == ["x"]
    assert by_odds(matrix, {"x": "1"}).minutes == inf


def test_where_every_way_ends_somewhere_the_one_that_leaves_least_open_is_next() -> None:
    """X parts a from b and c in one room, z parts c from a and b in another; nobody gets across.

    Neither finds all. a 0.6, b 0.3, c 0.1 (1 minute each, 1 to go): after z, a and b are left
    (0.9 × 0.918 = 0.827 bits), after x only b and c (0.4 × 0.811 = 0.325). A bit costs at most
    1 minute / 0.971 bits, so x: 2 + 0.325 / 0.971 = 2.334, z: 2 + 0.827 / 0.971 = 2.851.
    """
    x = plain_check("x", 1.0, {"a": "0", "b": "1", "c": "1"}, access=1)
    z = plain_check("z", 1.0, {"a": "0", "b": "0", "c": "1"}, access=2)
    rooms = ((0.0, 1.0, 1.0), (inf, 0.0, inf), (inf, inf, 0.0))
    found = rank(Matrix({"a": 0.6, "b": 0.3, "c": 0.1}, (z, x), rooms), {})
    minutes = {one.task.name: one.minutes for one in found.choices}
    assert minutes == pytest.approx({"x": 2.3346, "z": 2.8513}, abs=1e-3)
    assert (found.next, found.method) == ("x", Method.ROLLOUT)
    both = ((0.0, 1.0, 1.0), (1.0, 0.0, 1.0), (inf, 1.0, 0.0))
    crossed = rank(Matrix({"a": 0.6, "b": 0.3, "c": 0.1}, (z, x), both), {})
    # With a way across: x, then with 0.4 across and z: 2 + 0.4 × 2; z, then with 0.9: 2 + 0.9 × 2.
    assert {one.task.name: one.minutes for one in crossed.choices} == pytest.approx(
        {"x": 2.8, "z": 3.8}
    )
    assert crossed.method is Method.EXACT


def test_of_very_many_checks_the_only_one_permitted_is_tried_however_it_looks() -> None:
    matrix = random_matrix(random.Random(6), 100, 200)
    for check in matrix.checks[::40]:
        assert rank(matrix, {}, permitted=frozenset({check.name})).next == check.name


def test_five_hundred_unlikely_readings_come_to_something() -> None:
    """Each shows + with a at 0.1 and with b at 0.2: a is 2^-500 times as likely as b, not nothing.

    0.1^500 is less than the least number that a computer holds.
    """
    shows = {"a": {"+": 0.1, "-": 0.9}, "b": {"+": 0.2, "-": 0.8}}
    checks = tuple(Check(f"c{at}", 1.0, shows) for at in range(500))
    found = rank(Matrix(HALVES, checks), {check.name: "+" for check in checks})
    assert found.belief.explained
    assert found.belief.remaining == pytest.approx({"a": 2.0**-500, "b": 1.0})
    assert found.next is None


def test_ninety_five_in_a_hundred_is_sure() -> None:
    """36 alike; + comes with the first at 0.95, with each other at 0.05 / 35.

    After + the first is 0.95 / (0.95 + 35 × 0.05 / 35) = 0.95, and the work is finished, though
    rounding has it a little lower. At 0.9499 it goes on.
    """
    names = [f"s{at:02}" for at in range(36)]

    def left(likely: float) -> str | None:
        odds = [likely] + [(1 - likely) / 35] * 35
        x = {name: {"+": one, "-": 1 - one} for name, one in zip(names, odds, strict=True)}
        y = {name: {"+": at / 36, "-": 1 - at / 36} for at, name in enumerate(names)}
        matrix = Matrix(dict.fromkeys(names, 1.0), (Check("x", 1.0, x), Check("y", 1.0, y)))
        return rank(matrix, {"x": "+"}).next

    assert left(0.95) is None
    assert left(0.9499) == "y"


def test_exact_leaves_nothing_out_however_unlikely() -> None:
    """Chances: a 0.90, b 0.09, c 0.01; x (1 min) tells c, y (5 min) tells a.

    y first: 5 + (0.09 + 0.01) × 1 = 5.1. x first: 1 + 0.99 × 5 = 5.95. What a rollout may leave
    out (here everything less likely than 0.2) is still looked into where `exact` is said.
    """
    x = plain_check("x", 1.0, {"a": "0", "b": "0", "c": "1"})
    y = plain_check("y", 5.0, {"a": "1", "b": "0", "c": "0"})
    matrix = Matrix({"a": 0.90, "b": 0.09, "c": 0.01}, (x, y), only_hints=True)
    weights = tuple(matrix.suspects.values())
    found = plan(Odds(matrix, weights, {}, coarse=0.2, sure=2.0))
    assert found.method is Method.EXACT
    minutes = {one.task.name: one.minutes for one in found.choices}
    assert minutes == pytest.approx({"y": 5.1, "x": 5.95})


def chain(parts: int) -> Matrix:
    names = [f"part {at:02}" for at in range(parts)]
    cuts = (
        plain_check(f"cut {cut:02}", 1.0, {n: str(at > cut) for at, n in enumerate(names)})
        for cut in range(parts - 1)
    )
    return Matrix(dict.fromkeys(names, 1.0), tuple(cuts))


def test_states_are_counted_as_sets_that_are_left_with_more_than_one() -> None:
    """Ten parts in a row: a fault is in one of the 9 + 8 + … + 1 = 45 stretches of 2 to 10.

    Twenty parts are more suspects than could be listed as sets (a million), and 190 stretches.
    """
    assert MOST_STATES == 20_000
    assert rank(chain(10), {}, most_states=45).method is Method.EXACT
    assert rank(chain(10), {}, most_states=44).method is Method.ROLLOUT
    assert rank(chain(20), {}, most_states=190).method is Method.EXACT


def test_a_set_is_counted_once_for_each_place_it_is_come_to_in() -> None:
    """All three here; bc here after the first cut; ab there after the second.

    So three states; four with a double of the second cut that leaves ab here.
    """
    first = plain_check("first", 1.0, {"a": "0", "b": "1", "c": "1"})
    second = plain_check("second", 1.0, {"a": "0", "b": "0", "c": "1"}, access=1)
    double = plain_check("double", 9.0, {"a": "0", "b": "0", "c": "1"})
    away = ((0.0, 5.0), (5.0, 0.0))
    for checks, states in (((first, second), 3), ((first, second, double), 4)):
        matrix = Matrix(THIRDS, checks, away)
        assert rank(matrix, {}, most_states=states).method is Method.EXACT
        assert rank(matrix, {}, most_states=states - 1).method is Method.ROLLOUT


@pytest.mark.parametrize("most_states", [MOST_STATES, 0])
def test_of_equals_the_cheaper_comes_before_the_safer(most_states: int) -> None:
    """One off (1 min, then 2/3 × 1 min for the rest) and in one go (1 2/3 min): equal.

    The cheaper one is next, also where it is the one that may hurt.
    """
    first = plain_check("one off", 1.0, {"a": "1", "b": "0", "c": "0"}, risk=4)
    both = plain_check("in one go", 1.0 + 2 / 3, {"a": "1", "b": "2", "c": "3"})
    rest = plain_check("the rest", 1.0, {"a": "0", "b": "0", "c": "1"}, risk=5)
    found = rank(Matrix(THIRDS, (both, first, rest)), {}, most_states=most_states)
    assert found.minutes == pytest.approx(5 / 3)
    assert [one.task.name for one in found.choices] == ["one off", "the rest", "in one go"]


# --- two faults at once, and what a check is worth before a repair --------------------------------


def test_two_faults_explain_what_one_does_not() -> None:
    """Check x is low with a only, y with b and d only; both were low.

    a with b: 0.4 × 0.3, a with d: 0.4 × 0.1, each times a half for x and a half for y; no other
    pair shows both. So 3 to 1.
    """
    x = plain_check("x", 1.0, {"a": "low", "b": "good", "c": "good", "d": "good"})
    y = plain_check("y", 1.0, {"a": "good", "b": "low", "c": "good", "d": "low"})
    matrix = Matrix({"a": 0.4, "b": 0.3, "c": 0.2, "d": 0.1}, (x, y))
    known = {"x": "low", "y": "low"}
    assert believe(matrix, known).clashes == (("x", "y"),)
    pairs = two_at_once(matrix, known)
    assert [(one, other) for one, other, _ in pairs] == [("a", "b"), ("a", "d")]
    assert [share for _, _, share in pairs] == pytest.approx([0.75, 0.25])


@pytest.mark.parametrize(
    ("minutes", "expected", "next_"), [(1.0, 17.0, "x"), (2.0, 18.0, None), (3.0, 18.0, None)]
)
def test_a_check_that_errs_is_weighed_against_going_straight_to_a_repair(
    minutes: float, expected: float, next_: str | None
) -> None:
    """Chances: a 0.6 (10 min to mend), b 0.4 (20 min); + comes at 0.9 and 0.2.

    Straight away: a, then b: 10 + 0.4 × 20 = 18. After + (0.54 a, 0.08 b): a first,
    0.62 × 10 + 0.08 × 20 = 7.8. After - (0.06 a, 0.32 b): b first, 0.38 × 20 + 0.06 × 10 = 8.2.
    So checking first comes to its minutes and 16: worth 1 minute, not 3, and 2 is no gain.
    """
    odds = {"a": {"+": 0.9, "-": 0.1}, "b": {"+": 0.2, "-": 0.8}}
    matrix = Matrix({"a": 0.6, "b": 0.4}, (Check("x", minutes, odds),))
    swaps = [Repair("mend a", 10, {"a": 1.0}), Repair("mend b", 20, {"b": 1.0})]
    found = weigh(matrix, {}, by_repairs(swaps))
    assert found.stop == pytest.approx(18.0)
    assert found.minutes == pytest.approx(expected)
    assert (found.best.task.name if found.best else None) == next_


def test_of_equal_orders_of_repairs_the_cheaper_comes_first_then_by_name() -> None:
    """Chances: a 0.5 in 10 min, b and c 0.25 in 5: each 0.05 a minute, every order equal.

    b, c, a: 5 + 0.75 × 5 + 0.5 × 10 = 13.75; a, b, c: 10 + 0.5 × 5 + 0.25 × 5 = 13.75.
    """
    chances = {"a": 0.5, "b": 0.25, "c": 0.25}
    swaps = [
        Repair(name, minutes, {name: 1.0}) for name, minutes in (("a", 10), ("c", 5), ("b", 5))
    ]
    found = repair_order(chances, swaps)
    assert found.order == ("b", "c", "a")
    assert found.minutes == pytest.approx(13.75)
    # The same where they overlap and every order is searched.
    new = Repair("new unit", 100, dict.fromkeys(chances, 1.0))
    assert repair_order(chances, [*swaps, new]).order == ("b", "c", "a")


def test_where_repairs_overlap_chance_over_minutes_is_not_the_best_order() -> None:
    """Chances: a 0.4, b and c 0.3. Both: a, b in 10 min (0.07 a minute); right: b, c in 9 (0.067).

    By chance over minutes both comes first, then right: 10 + 0.3 × 9 = 12.7. Right first, then
    left (a alone, in 7 min, 0.057): 9 + 0.4 × 7 = 11.8, and both is never done.
    """
    chances = {"a": 0.4, "b": 0.3, "c": 0.3}
    repairs = [
        Repair("both", 10, {"a": 1.0, "b": 1.0}),
        Repair("right", 9, {"b": 1.0, "c": 1.0}),
        Repair("left", 7, {"a": 1.0}),
    ]
    found = repair_order(chances, repairs)
    assert found.order == ("right", "left")
    assert found.minutes == pytest.approx(11.8)
    assert found.method is Searched.EXACT


@pytest.mark.parametrize(("count", "method"), [(12, Searched.EXACT), (13, Searched.HEURISTIC)])
def test_beyond_twelve_repairs_it_is_said_that_not_every_order_was_tried(
    count: int, method: Searched
) -> None:
    """Equal chances, 1 to n minutes, in that order: Σ k (n - k + 1) / n = (n + 1)(n + 2) / 6."""
    swaps = [Repair(f"r{at:02}", at, {f"s{at:02}": 1.0}) for at in range(count, 0, -1)]
    found = repair_order({f"s{at:02}": 1.0 for at in range(1, count + 1)}, swaps)
    assert found.method is method
    assert found.order == tuple(f"r{at:02}" for at in range(1, count + 1))
    assert found.minutes == pytest.approx((count + 1) * (count + 2) / 6)


def test_a_suspect_without_chance_is_mended_last_and_costs_nothing() -> None:
    """Chances: a 1, b 0, c 0: 10 minutes for a, and the rest is never paid for; c is in with b."""
    chances = {"a": 1.0, "b": 0.0, "c": 0.0}
    swaps = [Repair("c", 1, {"c": 1.0}), Repair("b and c", 2, {"b": 1.0, "c": 1.0})]
    found = repair_order(chances, [*swaps, Repair("a", 10, {"a": 1.0})])
    assert found.order[0] == "a"
    assert "b and c" in found.order
    assert found.minutes == pytest.approx(10.0)
