"""Worked examples of posteriors and of several faults, each with its source.

*from memory*: the answer is the classic one, not read again. *computed*: by two ways that share no
code, at least one of them apart from this project.
"""

from __future__ import annotations

from itertools import combinations, product

import pytest

from engine.matrix import Check, Matrix, plain_check
from engine.suspects.belief import believe, information
from engine.suspects.clashes import hitting_sets
from engine.suspects.weighing import weigh


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
