"""Bands judged by an outside reasoner: z3 decides what our proofs and our placing claim.

For random cut sets z3 says whether exactly one band holds every number. For random cuts over a
nameplate box it says whether some nameplate makes two of them cross; our proof must agree, and
may leave open only what it says it leaves open.
"""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest

from engine.bands import BELOW, UP_TO, Bands, Cut, place, read_bands
from engine.formula import AtLeast, Between, Box, Measured
from engine.formula.node import (
    End,
    Extreme,
    Literal,
    Name,
    Node,
    Operation,
    Share,
)
from engine.quantity import Kind, Quantity
from engine.rising import Crossing, NotProved, rises

z3 = pytest.importorskip("z3")

KIND = Kind.CURRENT


def number(value: Fraction) -> Any:
    return z3.RealVal(f"{value.numerator}/{value.denominator}")


def real(node: Node, percents: frozenset[str] = frozenset()) -> Any:
    """Return a formula of amps as z3 has it; names in ``percents`` are percentages."""
    match node:
        case Literal():
            return number(node.quantity.value)
        case Name() | End():
            return z3.Real(node.name)
        case Share():
            return number(node.percent.value / 100) * real(node.of, percents)
        case Extreme():
            least, *rest = (real(part, percents) for part in node.parts)
            for part in rest:
                first = least <= part if node.word == "min" else least >= part
                least = z3.If(first, least, part)
            return least
        case Operation():
            return operated(node, percents)
        case _:
            raise AssertionError(node)


def operated(node: Operation, percents: frozenset[str]) -> Any:
    left, right = real(node.left, percents), real(node.right, percents)
    if node.word == "times":
        return left * right
    if relative(node.right, percents):
        right = left * right / 100
    return left + right if node.word == "plus" else left - right


def relative(node: Node, percents: frozenset[str]) -> bool:
    if isinstance(node, Literal):
        return node.quantity.kind is Kind.PERCENT
    return isinstance(node, Name) and node.name in percents


def under(cut: Cut, value: Any) -> Any:
    end = real(cut.at.node)
    return value < end if cut.words == BELOW else value <= end


def bands_of(cuts: list[str]) -> Bands:
    bands, misfits = read_bands([*cuts, "otherwise"], {})
    assert not misfits
    return bands


def random_cuts(rng: random.Random) -> list[str]:
    numbers = sorted(rng.sample(range(1, 400), rng.randint(1, 5)))
    return [f"{rng.choice(['below', 'up to'])} {value / 10} A" for value in numbers]


def test_z3_finds_no_value_outside_one_band() -> None:
    rng = random.Random(20)
    for _ in range(100):
        bands = bands_of(random_cuts(rng))
        value = z3.Real("value")
        unders = [under(cut, value) for cut in bands.cuts]
        holding = [
            z3.And(z3.Not(before), inside)
            for before, inside in zip(
                [z3.BoolVal(False), *unders], [*unders, z3.BoolVal(True)], strict=True
            )
        ]
        solver = z3.Solver()
        solver.add(z3.Not(z3.PbEq([(one, 1) for one in holding], 1)))
        assert solver.check() == z3.unsat
        for one in holding:  # and no band is empty: a value of z3's own choice is placed in it
            solver = z3.Solver()
            solver.add(one)
            assert solver.check() == z3.sat
            found = solver.model().eval(value, model_completion=True)
            read = Fraction(found.numerator_as_long(), found.denominator_as_long())
            key = place(bands, Measured(Quantity(read, KIND), read, read), {}, {}).key
            assert key == bands.keys[holding.index(one)]


NAMES = ("rla", "mca", "mocp", "fan")
PERCENTS = frozenset({"tolerance"})


def random_box(rng: random.Random) -> Box:
    def between(low: int, high: int, kind: Kind = KIND) -> Between:
        ends = sorted((Fraction(rng.randint(low, high)), Fraction(rng.randint(low, high))))
        return Between(Quantity(ends[0], kind), Quantity(ends[1], kind))

    allowed = {name: between(1, 60) for name in NAMES}
    high = max(allowed["mca"].high.value, allowed["mocp"].high.value)
    allowed["mocp"] = Between(allowed["mocp"].low, Quantity(high, KIND))
    return Box({**allowed, "tolerance": between(0, 20, Kind.PERCENT)}, (AtLeast("mocp", "mca"),))


def random_formula(rng: random.Random, choices: bool) -> str:
    """Return amps that are straight in every name, with or without min and max."""

    def term() -> str:
        name = rng.choice(NAMES)
        shapes = [name, f"{rng.randint(20, 150)} % of {name}", f"{rng.randint(1, 30)} A"]
        return rng.choice([*shapes, f"{rng.randint(1, 3)} times {name}"])

    text = term()
    for _ in range(rng.randint(0, 2)):
        text = f"{text} {rng.choice(['plus', 'less'])} {term()}"
    if choices and rng.random() < 0.6:
        text = f"{rng.choice(['min', 'max'])}({text}, {term()})"
    if rng.random() < 0.3:
        return f"({text}) {rng.choice(['plus', 'less'])} {rng.choice(['tolerance', '6 %'])}"
    return text


def crossing_exists(lower: Cut, upper: Cut, box: Box) -> bool:
    """Ask z3 for a nameplate at which nothing lies between two cuts."""
    solver = z3.Solver()
    for name, allowed in box.allowed.items():
        assert isinstance(allowed, Between)
        solver.add(z3.Real(name) >= number(allowed.low.value))
        solver.add(z3.Real(name) <= number(allowed.high.value))
    for tie in box.at_least:
        solver.add(z3.Real(tie.name) >= z3.Real(tie.other))
    low, high = (real(cut.at.node, PERCENTS) for cut in (lower, upper))
    met = lower.words == BELOW and upper.words == UP_TO  # Q itself then lies between
    solver.add(low > high if met else low >= high)
    answer = solver.check()
    assert answer != z3.unknown
    return bool(answer == z3.sat)


@pytest.mark.parametrize("choices", [False, True])
def test_z3_agrees_whether_cuts_cross(choices: bool) -> None:
    rng = random.Random(7)
    found = {"proved": 0, "crossing": 0, "open": 0}
    for _ in range(100):
        box = random_box(rng)
        texts = [random_formula(rng, choices) for _ in range(2)]
        bands = bands_of([f"{rng.choice(['below', 'up to'])} {text}" for text in texts])
        verdict = rises(bands, box, {})
        crossing = any(crossing_exists(*pair, box) for pair in pairwise(bands.cuts))
        if isinstance(verdict, NotProved):
            found["open"] += 1
        elif isinstance(verdict, Crossing):
            found["crossing"] += 1
            assert crossing
        else:
            found["proved"] += 1
            assert not crossing
    assert found["proved"] > 10
    assert found["crossing"] > 10
    assert found["open"] < (15 if choices else 1)
