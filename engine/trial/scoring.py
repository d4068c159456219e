"""Walked rows to what a trial says of a tree: each fault's result, whom to blame, the totals.

Owns `score`. Formulas in the manner of IEEE 1522, from memory: with w the weight of a fault,
detection is the share of w over all faults, isolation and correctness are shares of w over the
detected ones, and minutes are means by w.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from engine.loader.kinds import judgements_of
from engine.tree import WalkTree
from engine.trial.parting import BY_CIRCUIT, Parting
from engine.trial.result import By, OfFault, Result, Totals, Trial
from engine.trial.walked import Closeness, Passing, Walked, causes_of
from engine.unit.unit import Unit

MOST_CLOSE = 3
"""Cuts that are told of one fault."""


def score(
    walk: WalkTree,
    unit: Unit,
    walked: Sequence[Walked],
    samples: int,
    seed: int,
    best: Mapping[str, float] | None = None,
    parted: Parting = BY_CIRCUIT,
) -> Trial:
    """Return what a trial's rows come to; ``best`` gives a fault's least minutes, where reckoned.

    ``parted`` says which faults only their signs tell apart (`engine.trial.parting`).
    The rows of a fault are told by its name; raises KeyError for one that the unit has not, and
    ValueError for a fault without its nominal row.
    """
    single = [one for one in walked if len(one.faults) == 1]
    pairs = [one for one in walked if len(one.faults) == 2]
    names = tuple(dict.fromkeys(one.faults[0] for one in single))
    weights = weights_of(walk, unit, names)
    rows = {name: [one for one in single if one.faults == (name,)] for name in names}
    causes = {name: called(walk, unit, name) for name in names}
    faults = tuple(
        _of_fault(
            walk,
            causes[name],
            rows[name],
            parted.seen.get(name, ()),
            weights[name],
            (best or {}).get(name),
        )
        for name in names
    )
    unsafe = sum(bool(one.unsafe) for one in walked)
    elsewhere = tuple(name for name in unit.faults if name not in names)
    found = [_one_is_found(walk, unit, one) for one in pairs]
    neither = tuple(one.faults for one, is_found in zip(pairs, found, strict=True) if not is_found)
    totals = _totals(faults, unsafe, found)
    name = walk.tree.name
    return Trial(name, unit.name, samples, seed, faults, totals, elsewhere, neither, parted.alone)


def called(walk: WalkTree, unit: Unit, fault: str) -> str:
    """Return what a tree calls the cause of a fault: its suspect, or the nearest that it knows."""
    one = unit.faults[fault]
    return next(
        (name for name in (one.suspect, *one.kinds) if name in walk.tree.suspects), one.suspect
    )


def weights_of(walk: WalkTree, unit: Unit, names: Sequence[str]) -> Mapping[str, float]:
    """Return how often each fault is the cause; one whose suspect no tree lists weighs nothing."""
    suspects = [called(walk, unit, name) for name in names]
    listed = walk.tree.suspects
    return {
        name: listed[suspect].weight / suspects.count(suspect) if suspect in listed else 0.0
        for name, suspect in zip(names, suspects, strict=True)
    }


# --- one fault ------------------------------------------------------------------------------------


def _nominal(rows: Sequence[Walked]) -> Walked:
    for one in rows:
        if one.variation == 0:
            return one
    raise ValueError(f"{rows[0].faults[0]} was not walked on the nominal unit")


def _of_fault(
    walk: WalkTree,
    suspect: str,
    rows: Sequence[Walked],
    seen: tuple[str, ...],
    weight: float,
    best: float | None,
) -> OfFault:
    nominal = _nominal(rows)
    varied = [one for one in rows if one.variation]
    causes = tuple(one.name for one in causes_of(walk, nominal))
    result = _result(walk, nominal, suspect)
    bad = next((one for one in rows if one.unsafe), None)
    if bad is not None:
        result = Result.UNSAFE
    wrong = [one for one in varied if suspect not in _suspects(walk, one)]
    worst = bad or (nominal if result not in (Result.ISOLATED, Result.GROUP) else None)
    worst = worst or next(iter(wrong), None)
    return OfFault(
        fault=nominal.faults[0],
        suspect=suspect,
        weight=weight,
        result=result,
        finding=causes[-1] if causes else "",
        group=causes,
        by=(By.STATED if seen else By.SOLVED) if causes else None,
        seen=seen,
        checks=nominal.checks,
        minutes=nominal.minutes,
        best_minutes=best,
        blame=_blame(walk, nominal, worst) if worst else "",
        why=_why(worst, suspect, _suspects(walk, worst)) if worst else "",
        rows=len(varied),
        wrong=len(wrong),
        closest=_closest(rows),
    )


def _suspects(walk: WalkTree, row: Walked) -> tuple[str, ...]:
    return tuple(one.suspect for one in causes_of(walk, row))


def _result(walk: WalkTree, row: Walked, suspect: str) -> Result:
    suspects = _suspects(walk, row)
    if not suspects:
        return Result.NEVER_DETECTED
    if suspect not in suspects:
        return Result.WRONG
    return Result.ISOLATED if set(suspects) == {suspect} else Result.GROUP


def to_finding(row: Walked) -> list[Passing]:
    """Return what was asked up to the last cause that a row found; all of it where none was."""
    return _asked(row.path)[: row.checks]


def _asked(path: Iterable[Passing]) -> list[Passing]:
    return [one for one in path if not one.silent]


def _place(walk: WalkTree, row: Walked, finding: str) -> int:
    """Return where on its way a row made a finding, the last time; -1 for nowhere."""
    return max((at for at, one in enumerate(row.path) if _finds(walk, one) == finding), default=-1)


def _finds(walk: WalkTree, passing: Passing) -> str:
    """Return the finding that an answer makes; empty for none."""
    step = walk.steps.get(passing.step)
    for judgement in judgements_of(step) if step else ():
        outcome = judgement.answers.get(passing.key)
        if outcome and outcome.finds and outcome.verdict == passing.verdict:
            return outcome.finds
    return ""


def _blame(walk: WalkTree, nominal: Walked, row: Walked) -> str:
    """Return the step at which a row went wrong.

    Where it left the nominal way; of the nominal row the step that led to its last finding, or the
    last that was asked.
    """
    if row is not nominal:
        for one, other in zip(row.path, nominal.path, strict=False):
            if (one.step, one.verdict) != (other.step, other.verdict):
                return one.step
    asked = to_finding(row)
    return asked[-1].step if asked else ""


def _why(row: Walked, suspect: str, found: Sequence[str]) -> str:
    if row.unsafe:
        return row.unsafe
    if row.stuck:
        return row.stuck
    if not found:
        return "The walk came to its end without a finding."
    return f"{', '.join(found)} was found, and it was {suspect}."


def _closest(rows: Iterable[Walked]) -> tuple[Closeness, ...]:
    nearest: dict[tuple[str, str], Closeness] = {}
    for row in rows:
        for one in row.closest:
            key = (one.step, one.cut)
            if key not in nearest or one.margin < nearest[key].margin:
                nearest[key] = one
    return tuple(sorted(nearest.values(), key=lambda one: one.margin)[:MOST_CLOSE])


# --- all of them ----------------------------------------------------------------------------------


def _one_is_found(walk: WalkTree, unit: Unit, row: Walked) -> bool:
    return any(called(walk, unit, name) in _suspects(walk, row) for name in row.faults)


def _totals(faults: Sequence[OfFault], unsafe: int, pairs: Sequence[bool]) -> Totals:
    detected = [one for one in faults if one.group]
    right = [one for one in detected if one.result in (Result.ISOLATED, Result.GROUP)]
    isolated = [one for one in detected if len(set(one.group)) == 1]
    rows, wrong = sum(one.rows for one in faults), sum(one.wrong for one in faults)
    removed = _mean(detected, lambda one: len(one.group))
    best = [one.best_minutes for one in faults]
    known = None not in best and bool(best)
    return Totals(
        faults=len(faults),
        detected=_share(detected, faults),
        isolated=_share(isolated, detected),
        correct=_share(right, detected),
        mean_group=removed,
        false_removals=_mean(detected, lambda one: len(one.group) - (one in right)),
        minutes=_mean(faults, lambda one: one.minutes),
        best_minutes=_mean(faults, lambda one: one.best_minutes or 0.0) if known else None,
        rows=rows,
        wrong=wrong / rows if rows else 0.0,
        unsafe=unsafe,
        pairs=len(pairs),
        pairs_found=sum(pairs) / len(pairs) if pairs else 1.0,
    )


def _share(some: Sequence[OfFault], of: Sequence[OfFault]) -> float:
    whole = sum(one.weight for one in of)
    return sum(one.weight for one in some) / whole if whole else 0.0


def _mean(faults: Sequence[OfFault], value: Callable[[OfFault], float]) -> float:
    whole = sum(one.weight for one in faults)
    return sum(one.weight * value(one) for one in faults) / whole if whole else 0.0
