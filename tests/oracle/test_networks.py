"""Posteriors judged by pyagrum, on the networks that pgmpy carries.

A network becomes a matrix: the joint states of everything that the evidence hangs on are the
suspects, the evidence are the checks, with the network's own tables as likelihoods. What is left
of a variable is then a sum over rows. pyagrum finds the same by message passing.

The networks are those of the bnlearn repository: asia (Lauritzen and Spiegelhalter 1988), cancer
and earthquake (Korb and Nicholson 2003), survey (Scutari and Denis 2014), alarm, insurance,
hepar2 and win95pts. They are rounded to about 1e-7, so that 1e-6 is held.
"""

from __future__ import annotations

import gzip
import importlib.util
import random
import tempfile
import warnings
from functools import cache
from itertools import product
from math import prod
from pathlib import Path
from typing import Any

import pytest

from engine.matrix import Check, Matrix
from engine.suspects.belief import believe

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    gum = pytest.importorskip("pyagrum")

NETWORKS = ("asia", "cancer", "earthquake", "survey", "alarm", "insurance", "hepar2", "win95pts")
SETS = 25
"""Evidence sets for each network; 200 in all."""
MOST_ROWS = 1_000


@cache
def network(name: str) -> Any:
    spec = importlib.util.find_spec("pgmpy")
    if spec is None or spec.submodule_search_locations is None:
        pytest.skip("pgmpy, which carries the networks, is not installed")
    folder = Path(spec.submodule_search_locations[0]) / "utils" / "example_models"
    text = gzip.decompress((folder / f"{name}.bif.gz").read_bytes()).decode("utf-8")
    with tempfile.TemporaryDirectory() as there:
        file = Path(there) / "network.bif"
        file.write_text(text, encoding="utf-8", newline="\n")
        return gum.loadBN(str(file))


def labels(net: Any, name: str) -> list[str]:
    return list(net.variable(name).labels())


def parents(net: Any, name: str) -> list[str]:
    return [net.variable(one).name() for one in net.parents(name)]


def above(net: Any, names: list[str]) -> list[str]:
    """Return the names and everything that they hang on, causes first."""
    wanted, waiting = set(names), list(names)
    while waiting:
        for parent in parents(net, waiting.pop()):
            if parent not in wanted:
                wanted.add(parent)
                waiting.append(parent)
    order = [net.variable(one).name() for one in net.topologicalOrder()]
    return [name for name in order if name in wanted]


def table(net: Any, name: str) -> dict[tuple[str, ...], dict[str, float]]:
    """Return the words of the parents → the chances of the words of a variable."""
    of, own, found = parents(net, name), labels(net, name), {}
    for words in product(*(labels(net, parent) for parent in of)):
        given = dict(zip(of, words, strict=True))
        row = net.cpt(name)[given] if of else net.cpt(name)[:]
        found[words] = {word: float(chance) for word, chance in zip(own, row, strict=True)}
    return found


def matrix_of(net: Any, evidence: list[str], query: str) -> tuple[Matrix, list[str]]:
    """Return the matrix of a question to a network, and what a row's words stand for."""
    every = above(net, [*evidence, query])
    causes = {parent for name in every for parent in parents(net, name)}
    hidden = [name for name in every if name in causes or name not in evidence]
    if prod(len(labels(net, name)) for name in hidden) > MOST_ROWS:
        raise OverflowError
    rows: dict[str, float] = {"": 1.0}
    tables = {name: table(net, name) for name in {*hidden, *evidence}}
    for name in hidden:
        of = tables[name]
        wider: dict[str, float] = {}
        for key, weight in rows.items():
            words = dict(zip(hidden, key.split("|")[1:], strict=False))
            given = of[tuple(words[parent] for parent in parents(net, name))]
            for word, chance in given.items():
                if weight * chance:
                    wider[f"{key}|{word}"] = weight * chance
        rows = wider
    checks = []
    for name in evidence:
        shows: dict[str, dict[str, float]] = {}
        for key in rows:
            words = dict(zip(hidden, key.split("|")[1:], strict=True))
            if name in words:
                shows[key] = {words[name]: 1.0}
            else:
                shows[key] = tables[name][tuple(words[one] for one in parents(net, name))]
        checks.append(Check(name, 1.0, shows))
    return Matrix(rows, tuple(checks)), hidden


def asked(net: Any, matrix: Matrix, hidden: list[str], known: dict[str, str], query: str) -> float:
    """Return the largest difference between the engine and pyagrum over a variable's words."""
    left = believe(matrix, known).remaining
    judge = gum.LazyPropagation(net)
    judge.setEvidence(known)
    judge.makeInference()
    expected = judge.posterior(query)
    at = hidden.index(query) + 1
    return max(
        abs(
            sum(c for key, c in left.items() if key.split("|")[at] == word)
            - float(expected[number])
        )
        for number, word in enumerate(labels(net, query))
    )


@pytest.mark.parametrize("name", NETWORKS)
def test_posteriors_are_those_of_an_outside_judge(name: str) -> None:
    net, rng, tried = network(name), random.Random(8), 0
    every = sorted(net.names())
    while tried < SETS:
        evidence = rng.sample(every, rng.randint(1, min(4, len(every) - 1)))
        query = rng.choice([one for one in every if one not in evidence])
        try:
            matrix, hidden = matrix_of(net, evidence, query)
        except OverflowError:
            continue
        row = rng.choice(list(matrix.suspects))
        known = {
            one: max(shows := matrix.check(one).shows[row], key=lambda word: shows[word])
            for one in evidence
        }
        assert asked(net, matrix, hidden, known, query) < 1e-6
        tried += 1


def test_shortness_of_breath_and_a_trip_to_asia() -> None:
    """Lauritzen and Spiegelhalter's example; the figures are computed by enumeration, too."""
    net = network("asia")
    matrix, hidden = matrix_of(net, ["asia", "xray", "dysp"], "bronc")
    known = dict.fromkeys(("asia", "xray", "dysp"), "yes")
    left = believe(matrix, known).remaining
    for name, expected in (("tub", 0.391712), ("lung", 0.444271), ("bronc", 0.628822)):
        at = hidden.index(name) + 1
        found = sum(chance for key, chance in left.items() if key.split("|")[at] == "yes")
        assert found == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(
    ("cause", "state", "expected"),
    [
        ("PTROFFLINE", "Offline", 0.3386),
        ("NetPrint", "Yes__Network_printer_", 0.2523),
        ("PrtOn", "No", 0.1842),
    ],
)
def test_a_printer_that_prints_nothing(cause: str, state: str, expected: float) -> None:
    """win95pts with Problem1 = No_Output. Each cause by itself; its table is asked of pyagrum."""
    net = network("win95pts")
    judge = gum.LazyPropagation(net)
    judge.makeInference()
    words = labels(net, cause)
    prior = {word: float(judge.posterior(cause)[at]) for at, word in enumerate(words)}
    shows = {}
    for word in words:
        judge.setEvidence({cause: word})
        judge.makeInference()
        at = labels(net, "Problem1").index("No_Output")
        chance = float(judge.posterior("Problem1")[at])
        shows[word] = {"nothing": chance, "something": 1 - chance}
    left = believe(Matrix(prior, (Check("printed", 1.0, shows),)), {"printed": "nothing"}).remaining
    assert left[state] == pytest.approx(expected, abs=5e-5)
