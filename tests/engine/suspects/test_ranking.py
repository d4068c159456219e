"""The next check: ties, what is permitted, what is finished, what nothing explains, rollout."""

from __future__ import annotations

import random
from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.matrix import Check, Matrix, plain_check
from engine.suspects.alike import groups
from engine.suspects.belief import believe, two_at_once
from engine.suspects.planning import Method
from engine.suspects.ranking import rank
from tests.matrices import random_matrix

TWO = {"a": 1.0, "b": 1.0}
PARTS = {"a": "low", "b": "high"}


def next_of(*checks: Check, suspects: dict[str, float] = TWO) -> str | None:
    return rank(Matrix(suspects, checks), {}).next


def test_of_equals_the_cheaper_then_the_safer_then_by_name() -> None:
    three = {"a": 1.0, "b": 1.0, "c": 1.0}
    first = plain_check("one off", 1.0, {"a": "1", "b": "0", "c": "0"})
    both = plain_check("in one go", 2.0 - 1 / 3, {"a": "1", "b": "2", "c": "3"})
    rest = plain_check("the rest", 1.0, {"a": "0", "b": "0", "c": "1"})
    # 1 + 2/3 either way: the cheaper one is made first.
    assert next_of(both, first, rest, suspects=three) == "one off"
    live, dead = plain_check("x", 1.0, PARTS, risk=2), plain_check("y", 1.0, PARTS, risk=1)
    assert next_of(live, dead) == "y"
    assert next_of(plain_check("n", 1.0, PARTS), plain_check("m", 1.0, PARTS)) == "m"


def test_only_what_is_permitted_comes_next() -> None:
    quick, slow = plain_check("quick", 1.0, PARTS), plain_check("slow", 5.0, PARTS)
    matrix = Matrix(TWO, (quick, slow))
    assert rank(matrix, {}, permitted=frozenset({"slow"})).next == "slow"
    nothing = rank(matrix, {}, permitted=frozenset())
    assert nothing.next is None
    assert nothing.minutes == inf


def test_two_readings_in_one_place_are_cheaper_than_going_to_and_fro() -> None:
    """Two checks with the cover off come before the quicker one elsewhere (our own example)."""
    suspects = {"a": 1.0, "b": 1.0, "c": 1.0, "d": 1.0}
    there = plain_check("there", 2.0, {"a": "1", "b": "1", "c": "0", "d": "0"}, access=1)
    also = plain_check("also there", 2.0, {"a": "1", "b": "0", "c": "1", "d": "0"}, access=1)
    here = plain_check("here", 1.0, {"a": "1", "b": "1", "c": "0", "d": "0"}, access=0)
    matrix = Matrix(suspects, (here, there, also), ((0.0, 10.0), (10.0, 0.0)))
    # From here the change is paid once either way; from there it would be paid twice.
    assert rank(matrix, {}, access=0).next == "here"
    assert rank(matrix, {}, access=1).next in ("there", "also there")
    assert rank(matrix, {}, access=1).minutes == pytest.approx(4.0)
    assert rank(matrix, {}, access=0).minutes == pytest.approx(13.0)


def test_finished_is_when_no_check_parts_what_is_left() -> None:
    matrix = Matrix({"a": 1.0, "b": 1.0, "c": 2.0}, (plain_check("x", 1.0, {**PARTS, "c": "low"}),))
    found = rank(matrix, {"x": "low"})
    assert (found.next, found.minutes) == (None, 0.0)
    assert found.belief.remaining == pytest.approx({"a": 1 / 3, "b": 0.0, "c": 2 / 3})
    assert groups(matrix) == [["a", "c"], ["b"]]


def test_a_suspect_without_weight_asks_for_no_check() -> None:
    assert rank(Matrix({"a": 1.0, "b": 0.0}, (plain_check("x", 1.0, PARTS),)), {}).next is None


def test_what_nothing_explains_is_an_answer() -> None:
    matrix = Matrix(TWO, (plain_check("x", 1.0, PARTS), plain_check("y", 1.0, PARTS)))
    found = rank(matrix, {"x": "low", "y": "high"})
    assert not found.belief.explained
    assert found.belief.clashes == (("x", "y"),)
    assert set(found.belief.remaining.values()) == {0.0}
    assert two_at_once(matrix, {"x": "low", "y": "high"}) == [("a", "b", 1.0)]


def test_a_noisy_check_counts_once() -> None:
    odds = {"a": {"+": 0.8, "-": 0.2}, "b": {"+": 0.2, "-": 0.8}}
    matrix = Matrix(TWO, (Check("x", 1.0, odds),))
    assert rank(matrix, {}).minutes == pytest.approx(1.0)
    after = rank(matrix, {"x": "+"})
    assert (after.next, after.minutes) == (None, 0.0)
    assert after.belief.remaining == pytest.approx({"a": 0.8, "b": 0.2})


def test_sure_is_enough_where_checks_may_be_wrong() -> None:
    checks = (plain_check("x", 1.0, PARTS),)
    weights = {"a": 0.96, "b": 0.04}
    assert rank(Matrix(weights, checks, by_odds=True), {}).next is None
    assert rank(Matrix(weights, checks), {}).next == "x"


def test_too_many_states_are_gone_through_by_rollout() -> None:
    matrix = random_matrix(random.Random(5), 40, 60)
    found = rank(matrix, {})
    assert found.method is Method.ROLLOUT
    assert found.next is not None
    exact = rank(random_matrix(random.Random(5), 10, 12), {}, most_states=0)
    assert exact.method is Method.ROLLOUT


def test_a_hundred_suspects_and_two_hundred_checks_are_ranked() -> None:
    found = rank(random_matrix(random.Random(6), 100, 200), {})
    assert found.method is Method.ROLLOUT
    assert found.minutes > 0


@settings(deadline=None)  # a loaded machine is no failure
@given(st.integers(0, 10_000), st.integers(2, 8), st.integers(1, 8))
def test_rollout_is_never_better_than_the_best_nor_worse_than_any_greedy_way(
    seed: int, suspects: int, checks: int
) -> None:
    matrix = random_matrix(random.Random(seed), suspects, checks, accesses=2)
    best, rolled = rank(matrix, {}), rank(matrix, {}, most_states=0)
    assert rolled.minutes >= best.minutes - 1e-9
    assert (best.next is None) == (rolled.next is None)
    assert believe(matrix, {}).remaining == best.belief.remaining


@settings(deadline=None)  # a loaded machine is no failure
@given(st.integers(0, 10_000))
def test_weights_are_only_shares(seed: int) -> None:
    matrix = random_matrix(random.Random(seed), 6, 8)
    tenfold = Matrix({name: 10 * one for name, one in matrix.suspects.items()}, matrix.checks)
    assert rank(tenfold, {}).minutes == pytest.approx(rank(matrix, {}).minutes)
    assert rank(tenfold, {}).next == rank(matrix, {}).next


def noisy_matrix(seed: int, suspects: int, checks: int) -> Matrix:
    rng = random.Random(seed)
    names = [f"s{at}" for at in range(suspects)]
    made = []
    for number in range(checks):
        odds = {name: rng.choice([0.05, 0.1, 0.9, 0.95]) for name in names}
        shows = {name: {"+": one, "-": 1 - one} for name, one in odds.items()}
        made.append(Check(f"c{number}", float(rng.randint(1, 9)), shows))
    weights = {name: rng.random() + 0.05 for name in names}
    return Matrix(weights, tuple(made), by_odds=True)


@pytest.mark.parametrize("seed", range(4))
def test_a_rollout_over_noisy_checks_stays_near_the_best(seed: int) -> None:
    """It leaves out what is most unlikely, so that its minutes are an estimate."""
    matrix = noisy_matrix(seed, 5, 6)
    best, rolled = rank(matrix, {}), rank(matrix, {}, most_states=0)
    assert best.method is Method.EXACT
    assert rolled.method is Method.ROLLOUT
    assert rolled.minutes == pytest.approx(best.minutes, rel=0.15)


def test_many_noisy_checks_are_ranked_by_rollout() -> None:
    found = rank(noisy_matrix(2, 14, 20), {})
    assert found.method is Method.ROLLOUT
    assert found.next is not None
