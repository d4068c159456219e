"""Suspects and checks of an engineer's own: from the data of a file to `engine.matrix.Search`."""

from __future__ import annotations

import re
from collections.abc import Mapping, Set
from math import fsum

from engine.loader.building import Building, Names, names, text, texts
from engine.loader.document import Path
from engine.loader.wording import listed, shown
from engine.matrix import Check, Matrix, Repair, Search, outcomes_of

NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")
NEAR = 1e-5
"""How far from 1 likelihoods may come together: they are rounded when they are written down."""
LARGEST = 1e9
"""Beyond this a number of minutes, or a weight, is a slip."""


MISSED = frozenset({"checks-or-repairs", "outcomes-or-odds", "not-mended"})
"""Codes of something that is missing."""
LEAVE_THE_REST_CLEAR = frozenset({"unknown-key", "missing-key", "duplicate-key", "nothing-given"})
"""Codes of shape with which what is written elsewhere can still be judged."""


def build_search(file: Building, data: Names, shape: Set[str] = frozenset()) -> Search:
    """Return the search that a file asks for; what is wrong with it is kept by ``file``.

    ``shape`` are the codes of what is wrong with its shape already. Where that leaves the rest
    clear, the rest is judged all the same, so that all comes out in one run.
    """
    if not shape <= LEAVE_THE_REST_CLEAR or not names(data.get("suspects")):
        return Search(Matrix({}, ()))
    search = _built(file, data)
    if shape:
        # A name that is not known may be the one that is missed.
        file.problems[:] = [one for one in file.problems if one.code not in MISSED]
    _check_known(file, search.matrix, search.known)
    return search


def _built(file: Building, data: Names) -> Search:
    suspects = {
        name: _number(file, data, ("suspects", name)) for name in names(data.get("suspects"))
    }
    if suspects and not any(suspects.values()) and not file.problems:
        sentence = "The probabilities of the suspects come to nothing."
        file.say_key("bad-number", ("suspects",), sentence, "Give one of them more than 0.")
    if ("checks" in data) == ("repairs" in data):
        sentence = "A file of suspects has either checks or repairs."
        fix = "Leave out one of them." if "checks" in data else "Add checks, or repairs."
        file.say_key("checks-or-repairs", ("repairs",), sentence, fix)
    checks = tuple(_check(file, data, name, suspects) for name in names(data.get("checks")))
    by_odds = any("likelihoods" in names(one) for one in names(data.get("checks")).values())
    matrix = Matrix(suspects, checks, by_odds=by_odds)
    repairs = tuple(_repair(file, data, name, suspects) for name in names(data.get("repairs")))
    if repairs:
        _every_suspect_mended(file, suspects, repairs)
    known = {name: text(names(data.get("known")), name) for name in names(data.get("known"))}
    return Search(matrix, known, repairs, file.place(("known",), is_key=True))


def _number(file: Building, data: Names, path: Path) -> float:
    """Return the number at a path, 0 or more; 0 where it is none, with a problem kept."""
    *above, last = path
    for part in above:
        data = names(data.get(str(part)))
    written = text(data, str(last))
    if not written:
        return 0.0  # The schema says what stands there, or that nothing does.
    if not NUMBER.fullmatch(written):
        fix = "Write digits, with a point for decimals."
        file.say("bad-number", path, f"{shown(written)} is not a plain number.", fix)
        return 0.0
    number = float(written)
    if not 0.0 <= number <= LARGEST:
        what = "less than nothing" if number < 0 else "too large to be meant"
        file.say("bad-number", path, f"{shown(written)} is {what} here.", "Give 0 or more.")
        return 0.0
    return number


def _check(file: Building, data: Names, name: str, suspects: dict[str, float]) -> Check:
    path: Path = ("checks", name)
    said = names(names(data.get("checks")).get(name))
    minutes = _number(file, data, (*path, "minutes"))
    if ("outcomes" in said) == ("likelihoods" in said):
        sentence = f"{shown(name)} says what it shows by outcomes, or by likelihoods."
        fix = "Leave out one of them." if "outcomes" in said else "Add one of them."
        file.say_key("outcomes-or-odds", path, sentence, fix)
        return Check(name, minutes, {suspect: {} for suspect in suspects})
    kind = "outcomes" if "outcomes" in said else "likelihoods"
    of_suspects = names(said[kind])
    for suspect in of_suspects:
        if suspect not in suspects:
            file.unknown_key("suspect", suspect, suspects, (*path, kind, suspect))
    missing = [suspect for suspect in suspects if suspect not in of_suspects]
    if missing:
        sentence = f"{shown(name)} does not say what it shows with {listed(missing, 'and')}."
        file.say_key("no-outcome", (*path, kind), sentence, "Give what it shows with each suspect.")
    shows = {
        suspect: {text(of_suspects, suspect): 1.0}
        if kind == "outcomes"
        else _odds(file, data, (*path, kind, suspect))
        for suspect in suspects
    }
    return Check(name, minutes, shows)


def _odds(file: Building, data: Names, path: Path) -> dict[str, float]:
    """Return how likely each outcome is with one suspect; those that never come are left out."""
    of_check = names(names(data.get("checks")).get(str(path[1])))
    said = names(names(of_check.get("likelihoods")).get(str(path[3])))
    before = len(file.problems)
    odds = {outcome: _number(file, data, (*path, outcome)) for outcome in said}
    if len(file.problems) > before:
        return {}  # What they come to is not known.
    whole = fsum(odds.values())  # the same in whatever order they are written
    if not said:
        return {}
    if abs(whole - 1.0) > NEAR:
        sentence = f"The likelihoods of {shown(str(path[3]))} come to {whole:.6g}, not to 1."
        file.say_key("not-whole", path, sentence, "Give all outcomes, together 1.")
        return {}
    return {outcome: one / whole for outcome, one in odds.items() if one}


def _repair(file: Building, data: Names, name: str, suspects: dict[str, float]) -> Repair:
    path: Path = ("repairs", name)
    said = names(names(data.get("repairs")).get(name))
    mended = texts(said, "fixes")
    is_list = isinstance(said.get("fixes"), list)
    for at, suspect in enumerate(mended):
        if suspect not in suspects:
            place: Path = (*path, "fixes", at) if is_list else (*path, "fixes")
            file.unknown("suspect", suspect, suspects, place)
    minutes = _number(file, data, (*path, "minutes"))
    return Repair(name, minutes, dict.fromkeys(mended, 1.0))


def _every_suspect_mended(
    file: Building, suspects: dict[str, float], repairs: tuple[Repair, ...]
) -> None:
    mended = {suspect for repair in repairs for suspect in repair.fixes}
    left = [suspect for suspect in suspects if suspect not in mended]
    if left:
        sentence = f"No repair mends {listed(left)}."
        file.say_key("not-mended", ("repairs",), sentence, "Add a repair for it, or leave it out.")


def _check_known(file: Building, matrix: Matrix, known: Mapping[str, str]) -> None:
    """Hold what is known against the checks: their names and, where all is said, their outcomes."""
    checks = {check.name: check for check in matrix.checks}
    all_said = not file.problems
    for name, outcome in known.items():
        if name not in checks:
            file.unknown_key("check", name, checks, ("known", name))
        elif all_said and outcome not in outcomes_of(checks[name]):
            words = outcomes_of(checks[name])
            sentence = f"{shown(name)} never shows {shown(outcome)}; no suspect fits that."
            fix = f"It shows {listed(words)}." if words else ""
            file.say("fits-none", ("known", name), sentence, fix)
