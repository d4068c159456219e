"""Repair orders against every order there is, and against the rule where it holds."""

from __future__ import annotations

import random
from itertools import permutations

import pytest

from engine.matrix import Repair
from engine.suspects.repairs import Searched, cost, repair_order, separate


def random_repairs(rng: random.Random, suspects: int, repairs: int) -> list[Repair]:
    names = [f"s{at}" for at in range(suspects)]
    made = []
    for number in range(repairs):
        fixes = rng.sample(names, rng.randint(1, suspects))
        made.append(Repair(f"r{number}", rng.randint(1, 20), dict.fromkeys(fixes, 1.0)))
    return [*made, Repair("new unit", 60, dict.fromkeys(names, 1.0))]


def every_order(repairs: list[Repair], chances: dict[str, float]) -> float:
    """Return the least cost over every order of every subset that mends all suspects."""
    best = float("inf")
    for size in range(1, len(repairs) + 1):
        for order in permutations(repairs, size):
            if all(any(name in one.fixes for one in order) for name in chances):
                best = min(best, cost(order, chances))
    return best


@pytest.mark.parametrize("seed", range(15))
def test_overlapping_repairs_equal_every_order_tried(seed: int) -> None:
    rng = random.Random(seed)
    weights = {f"s{at}": rng.random() + 0.01 for at in range(5)}
    whole = sum(weights.values())
    chances = {name: weight / whole for name, weight in weights.items()}
    repairs = random_repairs(rng, 5, 5)
    found = repair_order(weights, repairs)
    assert found.method is Searched.EXACT
    assert found.minutes == pytest.approx(every_order(repairs, chances), rel=1e-9)
    named = {one.name: one for one in repairs}
    assert cost([named[name] for name in found.order], chances) == pytest.approx(found.minutes)


def test_separate_repairs_go_by_chance_over_minutes() -> None:
    rng = random.Random(3)
    weights = {f"s{at}": rng.random() for at in range(7)}
    repairs = [Repair(name, rng.randint(1, 30), {name: 1.0}) for name in weights]
    assert separate(repairs, weights)
    found = repair_order(weights, repairs)
    by_rate = sorted(repairs, key=lambda one: -weights[one.name] / one.minutes)
    assert found.order == tuple(one.name for one in by_rate)
    whole = sum(weights.values())
    chances = {name: weight / whole for name, weight in weights.items()}
    assert found.minutes == pytest.approx(min(cost(o, chances) for o in permutations(repairs)))


def test_more_than_twelve_repairs_are_ordered_near_the_best() -> None:
    """With the surplus made useless the exact search can be asked what the best would be."""
    rng = random.Random(11)
    weights = {f"s{at}": rng.random() + 0.01 for at in range(8)}
    few = random_repairs(rng, 8, 9)
    many = [*few, *(Repair(f"paint {at}", 1, {"nothing": 1.0}) for at in range(5))]
    exact, rough = repair_order(weights, few), repair_order(weights, many)
    assert rough.method is Searched.HEURISTIC
    assert not any(name.startswith("paint") for name in rough.order)
    assert exact.minutes <= rough.minutes + 1e-9
    assert rough.minutes <= 1.1 * exact.minutes


def test_a_repair_that_takes_no_time_comes_first() -> None:
    found = repair_order(
        {"a": 0.9, "b": 0.1}, [Repair("x", 5, {"a": 1.0}), Repair("y", 0, {"b": 1})]
    )
    assert found.order == ("y", "x")
    assert found.minutes == pytest.approx(4.5)


def test_of_very_many_repairs_no_more_orders_are_tried_than_can_be_waited_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Three hundred would be improved for hours; what is left off is still an order for all."""
    rng = random.Random(4)
    weights = {f"s{at}": rng.random() + 0.01 for at in range(30)}
    repairs = random_repairs(rng, 30, 40)
    best = repair_order(weights, repairs)
    monkeypatch.setattr("engine.suspects.repairs.MOST_WORK", 0)
    rough = repair_order(weights, repairs)
    named = {one.name: one for one in repairs}
    assert {suspect for name in rough.order for suspect in named[name].fixes} == set(weights)
    assert best.minutes <= rough.minutes
    assert rough.method is Searched.HEURISTIC
