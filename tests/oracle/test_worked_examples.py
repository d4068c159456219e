"""Worked examples of sequential diagnosis, each with where its expected value comes from.

*seen*: the source, or its statement of the problem, was read. *from memory*: the answer is the
classic one, not read again. *computed*: by two ways that share no code, at least one of them apart
from this project; the numbers are our own example.
"""

from __future__ import annotations

from itertools import combinations, product
from math import ceil, log2

import pytest

from engine.matrix import Check, Matrix, Repair, plain_check
from engine.suspects.alike import groups
from engine.suspects.belief import believe, clashing, information, two_at_once
from engine.suspects.clashes import hitting_sets
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


def test_a_screening_test_and_its_illusion() -> None:
    """Prevalence 1 %, sensitivity 80 %, false positives 9.6 %: 7.8 % (classic, from memory)."""
    odds = {"ill": {"+": 0.80, "-": 0.20}, "well": {"+": 0.096, "-": 0.904}}
    one, again = Check("test", 1.0, odds), Check("another kind", 1.0, odds)
    matrix = Matrix({"ill": 0.01, "well": 0.99}, (one, again))
    assert believe(matrix, {"test": "+"}).remaining["ill"] == pytest.approx(0.077640, abs=5e-7)
    both = believe(matrix, {"test": "+", "another kind": "+"}).remaining["ill"]
    assert both == pytest.approx(0.412269, abs=5e-7)


def joint(priors: dict[str, float], rule: dict[tuple[bool, ...], float]) -> Matrix:
    """Return every combination of yes and no as a suspect, with a check that shows an effect."""
    names = list(priors)
    weights, shows = {}, {}
    for values in product((True, False), repeat=len(names)):
        key = " ".join(name for name, value in zip(names, values, strict=True) if value)
        weight = 1.0
        for name, value in zip(names, values, strict=True):
            weight *= priors[name] if value else 1 - priors[name]
        weights[key] = weight
        shows[key] = {"yes": rule[values], "no": 1 - rule[values]}
    return Matrix(weights, (Check("effect", 1.0, shows),))


def marginal(remaining: object, name: str) -> float:
    assert isinstance(remaining, dict)
    return float(sum(chance for key, chance in remaining.items() if name in key.split()))


def test_burglary_and_the_two_neighbours() -> None:
    """Russell and Norvig, *Artificial Intelligence*, the burglary network: .284, from memory."""
    alarm = {(True, True): 0.95, (True, False): 0.94, (False, True): 0.29, (False, False): 0.001}
    weights: dict[str, float] = {}
    for burglary, earthquake, rings in product((True, False), repeat=3):
        weight = 0.001 if burglary else 0.999
        weight *= 0.002 if earthquake else 0.998
        rang = alarm[burglary, earthquake]
        weight *= rang if rings else 1 - rang
        words = (("burglary", burglary), ("earthquake", earthquake), ("alarm", rings))
        weights[" ".join(word for word, value in words if value)] = weight
    calls = [
        Check(who, 1.0, {key: {"yes": yes if "alarm" in key else no} for key in weights})
        for who, yes, no in (("john", 0.90, 0.05), ("mary", 0.70, 0.01))
    ]
    left = believe(Matrix(weights, tuple(calls)), {"john": "yes", "mary": "yes"}).remaining
    assert marginal(left, "burglary") == pytest.approx(0.284172, abs=5e-7)


def test_a_car_that_does_not_start() -> None:
    """The car start example of Jensen, *Bayesian Networks and Decision Graphs*, from memory."""
    start = dict.fromkeys(product((True, False), repeat=2), 0.0)
    start |= {(True, True): 0.99, (True, False): 0.01}
    matrix = joint({"fuel": 0.98, "plugs": 0.96}, start)
    left = dict(believe(matrix, {"effect": "no"}).remaining)
    assert 1 - marginal(left, "fuel") == pytest.approx(0.293186, abs=5e-7)
    assert 1 - marginal(left, "plugs") == pytest.approx(0.580626, abs=5e-7)
    gauge = {
        key: {"full": 0.39, "half": 0.60, "empty": 0.01}
        if "fuel" in key
        else {"full": 0.001, "half": 0.001, "empty": 0.998}
        for key in matrix.suspects
    }
    wider = Matrix(matrix.suspects, (*matrix.checks, Check("gauge", 1.0, gauge)))
    left = dict(believe(wider, {"effect": "no", "gauge": "half"}).remaining)
    assert 1 - marginal(left, "fuel") == pytest.approx(0.000691, abs=5e-7)
    assert 1 - marginal(left, "plugs") == pytest.approx(0.804350, abs=5e-7)


def test_wet_grass() -> None:
    """The sprinkler network (Murphy's tutorial, from memory): .708 rain, .430 sprinkler."""
    weights: dict[str, float] = {}
    wet = {(True, True): 0.99, (True, False): 0.9, (False, True): 0.9, (False, False): 0.0}
    shows: dict[str, dict[str, float]] = {}
    for cloudy, sprinkler, rain in product((True, False), repeat=3):
        on, falls = (0.1, 0.8) if cloudy else (0.5, 0.2)
        weight = 0.5 * (on if sprinkler else 1 - on) * (falls if rain else 1 - falls)
        words = (("cloudy", cloudy), ("sprinkler", sprinkler), ("rain", rain))
        key = " ".join(word for word, value in words if value)
        weights[key] = weight
        shows[key] = {"yes": wet[sprinkler, rain], "no": 1 - wet[sprinkler, rain]}
    left = believe(Matrix(weights, (Check("wet", 1.0, shows),)), {"wet": "yes"}).remaining
    assert marginal(left, "rain") == pytest.approx(0.707928, abs=5e-7)
    assert marginal(left, "sprinkler") == pytest.approx(0.429764, abs=5e-7)


NOISY = Matrix(
    {"f1": 0.5, "f2": 0.3, "f3": 0.2},
    tuple(
        Check(name, minutes, {f"f{at + 1}": {"+": p, "-": 1 - p} for at, p in enumerate(odds)})
        for name, minutes, odds in (("T1", 1.0, (0.9, 0.2, 0.1)), ("T2", 2.0, (0.1, 0.8, 0.1)))
    ),
)


def test_noisy_tests() -> None:
    """Our own example, computed in exact fractions apart from the engine."""
    prior = believe(NOISY, {}).remaining
    bits = [information(check, prior) for check in NOISY.checks]
    assert bits == pytest.approx([0.452526, 0.348298], abs=5e-7)
    left = list(believe(NOISY, {"T1": "+"}).remaining.values())
    assert left == pytest.approx([45 / 53, 6 / 53, 2 / 53], abs=1e-12)
    left = list(believe(NOISY, {"T1": "+", "T2": "-"}).remaining.values())
    assert left == pytest.approx([27 / 29, 4 / 145, 6 / 145], abs=1e-12)


@pytest.mark.parametrize(
    ("most", "expected"), [(0, 10.0), (1, 36 / 5), (2, 293 / 50), (3, 699 / 125)]
)
def test_noisy_tests_against_a_dear_mistake(most: int, expected: float) -> None:
    """A wrong repair costs 20; at most so many tests, repeats independent. Computed in fractions.

    Each repeat is a check of its own here, since for the engine one check counts once.
    """
    repeats = [
        Check(f"{check.name} {number}", check.minutes, check.shows)
        for check in NOISY.checks
        for number in range(most)
    ]

    def fewest(known: dict[str, str], left: int) -> float:
        belief = believe(Matrix(NOISY.suspects, tuple(repeats)), known).remaining
        best = 20 * (1 - max(belief.values()))
        for check in repeats if left else ():
            if check.name in known:
                continue
            minutes = check.minutes
            for outcome in "+-":
                chance = sum(belief[one] * check.shows[one][outcome] for one in belief)
                minutes += chance * fewest({**known, check.name: outcome}, left - 1)
            best = min(best, minutes)
        return best

    assert fewest({}, most) == pytest.approx(expected, abs=1e-9)


def test_one_noisy_test_weighed() -> None:
    """The same with one test allowed, by the engine's own weighing: 36/5, and T1 is the test."""
    single = Matrix(NOISY.suspects, NOISY.checks[:1])
    plan = weigh(single, {}, lambda chances: 20 * (1 - max(chances.values())))
    assert plan.minutes == pytest.approx(36 / 5, abs=1e-9)
    assert plan.best is not None
    assert plan.best.task.name == "T1"


ADDERS = ("M1", "M2", "M3", "A1", "A2")


def polybox() -> tuple[list[frozenset[str]], list[frozenset[str]]]:
    """Return the fault sets that explain F = 10, G = 12, and the sets that cannot all be good.

    F = M1 + M2 and G = M2 + M3 with M1 = AC, M2 = BD, M3 = CE and A..E = 3, 2, 2, 3, 3; the output
    of a part that is faulty may be anything, so a set explains what was seen if the parts that are
    left as good leave no contradiction: solved by listing values.
    """
    explains = []
    for size in range(6):
        for faulty in combinations(ADDERS, size):
            values = range(-20, 40)
            x = [6] if "M1" not in faulty else list(values)
            y = [6] if "M2" not in faulty else list(values)
            z = [6] if "M3" not in faulty else list(values)
            good_f = "A1" in faulty or any(a + b == 10 for a in x for b in y)
            good = any(
                ("A1" in faulty or a + b == 10) and ("A2" in faulty or b + c == 12)
                for b in y
                for a in (x if "M1" not in faulty else [10 - b])
                for c in (z if "M3" not in faulty else [12 - b])
            )
            if good_f and good:
                explains.append(frozenset(faulty))
    consistent = set(explains)
    conflicts = [
        frozenset(good)
        for size in range(6)
        for good in combinations(ADDERS, size)
        if frozenset(ADDERS) - frozenset(good) not in consistent
    ]
    smallest = [one for one in conflicts if not any(other < one for other in conflicts)]
    return explains, smallest


def test_three_multipliers_and_two_adders() -> None:
    """De Kleer and Williams, *Diagnosing multiple faults* (1987), from memory, and computed."""
    explains, conflicts = polybox()
    assert len(explains) == 27
    expected = [{"A1", "M1", "M2"}, {"A1", "A2", "M1", "M3"}]
    assert sorted(map(sorted, conflicts)) == sorted(map(sorted, expected))
    assert set(hitting_sets(conflicts)) == {
        frozenset(one) for one in ({"M1"}, {"A1"}, {"M2", "M3"}, {"A2", "M2"})
    }
    every = [frozenset(one) for size in range(6) for one in combinations(ADDERS, size)]
    weights = {" ".join(sorted(one)): 0.01 ** len(one) * 0.99 ** (5 - len(one)) for one in every}
    seen = {" ".join(sorted(one)): str(one in explains) for one in every}
    matrix = Matrix(weights, (plain_check("seen", 1.0, seen),))
    left = dict(believe(matrix, {"seen": "True"}).remaining)
    assert left["M1"] == pytest.approx(0.47803, abs=5e-6)
    assert left["M2 M3"] == pytest.approx(0.00483, abs=5e-6)
    shares = {part: marginal(left, part) for part in ADDERS}
    assert shares["M1"] == pytest.approx(0.49764, abs=5e-6)
    assert shares["M2"] == pytest.approx(0.01961, abs=5e-6)
    assert shares["M3"] == pytest.approx(0.01478, abs=5e-6)


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
