"""Worked examples of sequential diagnosis, each with where its expected value comes from.

*seen*: the source, or its statement of the problem, was read. *from memory*: the answer is the
classic one, not read again. *computed*: by two ways that share no code, at least one of them apart
from this project; the numbers are our own example.
"""

from __future__ import annotations

from itertools import combinations
from math import ceil, log2

import pytest

from engine.matrix import Check, Matrix, Repair, plain_check
from engine.suspects.alike import groups
from engine.suspects.belief import believe, clashing, information, two_at_once
from engine.suspects.ranking import rank
from engine.suspects.repairs import cost, repair_order
from engine.suspects.weighing import by_repairs, weigh


def of_rows(priors: list[float], rows: list[str], minutes: list[float]) -> Matrix:
    """Return a matrix from one row of digits a suspect, a digit a check."""
    names = [f"s{at}" for at in range(len(priors))]
    checks = [
        plain_check(f"t{at + 1}", minute, {n: row[at] for n, row in zip(names, rows, strict=True)})
        for at, minute in enumerate(minutes)
    ]
    return Matrix(dict(zip(names, priors, strict=True)), tuple(checks))


FIVE = [0.70, 0.01, 0.02, 0.10, 0.17]
ROWS = ["00000", "01001", "00110", "10011", "11000"]


def test_five_states_five_tests() -> None:
    """Our own example: computed by dynamic programming and by listing every decision tree."""
    matrix = of_rows(FIVE, ROWS, [1.0] * 5)
    found = rank(matrix, {})
    assert found.minutes == pytest.approx(2.12, abs=1e-9)
    assert found.next == "t2"
    assert rank(matrix, {"t2": "0"}).next == "t4"
    assert rank(matrix, {}, most_states=0).minutes == pytest.approx(2.12, abs=1e-9)
    bits = [information(check, found.belief.remaining) for check in matrix.checks]
    assert bits == pytest.approx([0.84146, 0.68008, 0.14144, 0.52936, 0.49992], abs=5e-6)
    by_first = {one.task.name: one.minutes for one in found.choices}
    assert by_first["t1"] == pytest.approx(2.71, abs=1e-9)  # the most bits, and a slower way


def test_five_states_with_costs() -> None:
    """Our own example, computed as the one before."""
    found = rank(of_rows(FIVE, ROWS, [4.0, 1.0, 3.0, 2.0, 2.0]), {})
    assert found.minutes == pytest.approx(3.24, abs=1e-9)


@pytest.mark.parametrize(
    ("priors", "expected"),
    [
        # Cormen, Leiserson, Rivest and Stein: 224,000 bits for 100,000 characters, from memory.
        ([0.45, 0.13, 0.12, 0.16, 0.09, 0.05], 2.24),
        # Cover and Thomas, from memory.
        ([0.25, 0.25, 0.2, 0.15, 0.15], 2.3),
        ([0.4, 0.3, 0.2, 0.1], 1.9),
    ],
)
def test_with_every_test_the_optimum_is_a_huffman_code(
    priors: list[float], expected: float
) -> None:
    count = len(priors)
    cuts = range(1, 2 ** (count - 1))
    rows = ["".join(str(cut >> at & 1) for cut in cuts) for at in range(count)]
    found = rank(of_rows(priors, rows, [1.0] * len(cuts)), {})
    assert found.minutes == pytest.approx(expected, abs=1e-9)


def chain(priors: list[float], minutes: list[float]) -> Matrix:
    """Return a series string with one fault: each cut tells on which side of it the fault is."""
    count = len(priors)
    rows = ["".join("01"[at > cut] for cut in range(count - 1)) for at in range(count)]
    return of_rows(priors, rows, minutes)


def test_ten_bulbs_in_series() -> None:
    """Ten bulbs, one out, at most four measurements: notatek.pl, seen; the mean is computed."""
    found = rank(chain([0.1] * 10, [1.0] * 9), {})
    assert found.minutes == pytest.approx(3.4, abs=1e-9)
    assert _longest(chain([0.1] * 10, [1.0] * 9), {}) == 4


def _longest(matrix: Matrix, known: dict[str, str]) -> int:
    found = rank(matrix, known)
    if found.next is None:
        return 0
    outcomes = {next(iter(one)) for one in matrix.check(found.next).shows.values()}
    further = []
    for outcome in outcomes:
        more = {**known, found.next: outcome}
        if believe(matrix, more).explained:
            further.append(_longest(matrix, more))
    return 1 + max(further)


@pytest.mark.parametrize("parts", [2, 3, 5, 8, 13, 16, 31])
def test_an_equal_chain_is_half_split(parts: int) -> None:
    """Half-split: the worst case of n equal parts is ceil(log2 n) checks (from memory)."""
    assert _longest(chain([1.0] * parts, [1.0] * (parts - 1)), {}) == ceil(log2(parts))


def test_nine_coins_take_two_weighings() -> None:
    """Nine coins, one heavy: two weighings, the classic answer from memory."""
    coins = [f"coin {at}" for at in range(9)]
    checks = []
    for size in range(1, 5):
        for left in combinations(range(9), size):
            rest = [at for at in range(9) if at not in left]
            for right in combinations(rest, size):
                if left[0] < right[0]:
                    sides = dict.fromkeys(left, "left") | dict.fromkeys(right, "right")
                    shown = {coin: sides.get(at, "even") for at, coin in enumerate(coins)}
                    checks.append(plain_check(f"{left} {right}", 1.0, shown))
    assert len(checks) == 1569
    found = rank(Matrix(dict.fromkeys(coins, 1.0), tuple(checks)), {})
    assert found.minutes == pytest.approx(2.0, abs=1e-9)


def test_six_parts_with_dear_cuts() -> None:
    """Our own example: computed by dynamic programming and as an optimal alphabetic tree."""
    priors = [0.05, 0.20, 0.10, 0.30, 0.10, 0.25]
    dear = rank(chain(priors, [1.0, 4.0, 1.0, 3.0, 2.0]), {})
    assert dear.minutes == pytest.approx(5.05, abs=1e-9)
    assert dear.next == "t3"
    assert rank(chain(priors, [1.0] * 5), {}).minutes == pytest.approx(2.6, abs=1e-9)


PROGRAM = {"program": 0.80, "virus": 0.15, "hardware": 0.05}
REBOOT = Repair("reboot", 1, {"program": 1.0})
TOOL = Repair("virus tool", 2, {"virus": 0.95})
REINSTALL = Repair("reinstall", 25, {"program": 1.0, "virus": 0.99})
NEW = Repair("new computer", 500, dict.fromkeys(PROGRAM, 1.0))


def test_overlapping_and_imperfect_repairs() -> None:
    """An exercise after Jensen and Nielsen (*Bayesian Networks and Decision Graphs*), seen.

    The costs of each order are computed by listing them all.
    """
    found = repair_order(PROGRAM, [NEW, REINSTALL, TOOL, REBOOT])
    assert found.order == ("reboot", "virus tool", "reinstall", "new computer")
    assert found.minutes == pytest.approx(223 / 8, abs=1e-9)
    for order, expected in [
        ((TOOL, REBOOT, REINSTALL, NEW), 29.3325),
        ((REBOOT, TOOL, NEW), 30.15),
        ((REBOOT, REINSTALL, NEW), 31.75),
    ]:
        assert cost(order, PROGRAM) == pytest.approx(expected, abs=1e-9)


PARTS = {"capacitor": 0.30, "contactor": 0.25, "fuse": 0.20, "compressor": 0.15, "board": 0.10}
SWAPS = [
    Repair(name, minutes, {name: 1.0})
    for name, minutes in zip(PARTS, [10, 15, 5, 60, 40], strict=True)
]


def test_chance_over_minutes_and_a_check_worth_making() -> None:
    """Our own numbers; the rule is Kadane and Simon's (1977, from memory)."""
    found = repair_order(PARTS, SWAPS)
    assert found.order[:3] == ("fuse", "capacitor", "contactor")
    assert found.minutes == pytest.approx(39.5, abs=1e-9)
    by_chance = sorted(SWAPS, key=lambda one: -PARTS[one.name])
    assert cost(by_chance, PARTS) == pytest.approx(41.75, abs=1e-9)
    starts = {name: str(name in ("capacitor", "contactor")) for name in PARTS}
    check = plain_check("does it start by hand", 4.0, starts)
    plan = weigh(Matrix(PARTS, (check,)), {}, by_repairs(SWAPS))
    assert plan.minutes == pytest.approx(34.5, abs=1e-9)
    assert plan.stop - plan.minutes == pytest.approx(5.0, abs=1e-9)
    dear = plain_check("does it start by hand", 10.0, starts)
    assert weigh(Matrix(PARTS, (dear,)), {}, by_repairs(SWAPS)).best is None


def test_looks_that_may_overlook() -> None:
    """Search with overlook, p a (1-a)^k / c (Black 1965, from memory); computed three ways."""
    boxes = {"a": 0.5, "b": 0.3, "c": 0.2}
    found_by, minutes = {"a": 0.5, "b": 0.8, "c": 0.9}, {"a": 1, "b": 2, "c": 1}
    looks: list[str] = []
    checks: list[Check] = []
    known: dict[str, str] = {}
    expected, left = 0.0, 1.0
    for number in range(120):
        now = believe(Matrix(boxes, tuple(checks)), known).remaining
        rates = {box: now[box] * found_by[box] / minutes[box] for box in boxes}
        box = max(rates, key=lambda one: rates[one])
        looks.append(box)
        expected += left * minutes[box]
        left *= 1 - now[box] * found_by[box]
        shows = {other: {"no": 1.0} for other in boxes}
        shows[box] = {"yes": found_by[box], "no": 1 - found_by[box]}
        checks.append(Check(f"look {number}", minutes[box], shows))
        known[f"look {number}"] = "no"
    assert "".join(looks[:8]) == "acabaabc"
    assert expected == pytest.approx(4.006863, abs=1e-6)


def test_groups_and_false_removals() -> None:
    """Metrics after IEEE 1522 (formulas from memory), worked out by hand for our own example."""
    chosen = of_rows(FIVE[1:], [row[1:4] for row in ROWS[1:]], [1.0] * 3)
    found = groups(chosen)
    assert found == [["s0", "s3"], ["s1"], ["s2"]]  # the faults 1 and 4, 2, 3
    rates = list(chosen.suspects.values())
    whole = sum(rates)
    single = sum(chosen.suspects[group[0]] for group in found if len(group) == 1)
    assert single / whole == pytest.approx(0.4, abs=1e-12)
    mean = sum(len(group) * chosen.suspects[one] for group in found for one in group) / whole
    assert mean == pytest.approx(1.6, abs=1e-12)
    assert (mean - 1) / mean == pytest.approx(0.375, abs=1e-12)  # a whole group taken out at once
    removals = 0.0
    for group in found:
        chances = {one: chosen.suspects[one] for one in group}
        swaps = [Repair(one, 1.0, {one: 1.0}) for one in group]
        removals += sum(chances.values()) / whole * repair_order(chances, swaps).minutes
    assert removals == pytest.approx(1 + 1 / 30, abs=1e-12)
    assert 1 - 1 / removals == pytest.approx(1 / 31, abs=1e-12)


def test_what_no_suspect_explains() -> None:
    """Readings that clash, by definition: found anew by trying every set of them."""
    matrix = of_rows([1.0] * 4, ["0011", "0101", "1000", "1110"], [1.0] * 4)
    known = {"t1": "1", "t2": "0", "t3": "1", "t4": "0"}
    clashes = set(clashing(matrix, known))
    sets = [one for size in range(1, 5) for one in combinations(known, size)]
    unexplained = [
        one for one in sets if not believe(matrix, {name: known[name] for name in one}).explained
    ]
    smallest = {one for one in unexplained if not any(set(o) < set(one) for o in unexplained)}
    assert clashes == smallest
    assert clashes
    pairs = two_at_once(matrix, known)
    assert pairs
    for one, other, _ in pairs:
        shows = [matrix.check(name).shows for name in known]
        assert all(
            known[name] in {*row[one], *row[other]} for name, row in zip(known, shows, strict=True)
        )
