"""A trial as a table in words, wide or narrow, and as data."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from engine.trial.result import OfFault, Result, Totals, Trial
from engine.trial.walked import Closeness

WIDE = 84
"""Columns from which every fault has one line."""
NEAR = 1.0
"""Margins below this are told: the reading came nearer to a cut than the meter is sure of."""
_HEADS = f"{'result':14}  {'by':6}  {'checks':>6}  {'min':>5}  {'best':>5}  {'wrong':>5}"
_NAME = 46
"""Characters a fault's name has at most where it has to share a line."""


def as_lines(trial: Trial, columns: int) -> Iterator[str]:
    """Yield a trial in words for that many columns."""
    width = min(columns, 100)
    yield from _wrapped(
        f"{trial.tree} on {trial.unit}: {len(trial.faults)} faults show the complaint, "
        f"{trial.samples} variations of each, seed {trial.seed}.",
        width,
    )
    yield ""
    if columns >= WIDE:
        room = min(columns - len(_HEADS) - 2, _NAME)
        wide = max((len(_short(one.fault, room)) for one in trial.faults), default=0)
        yield f"{'':{wide}}  {_HEADS}"
        yield from (f"{_short(one.fault, room):{wide}}  {_wide(one)}" for one in trial.faults)
    else:
        for one in trial.faults:
            yield from _narrow(one, width)
    yield ""
    yield from _wrong(trial, width)
    yield from _close(trial, width)
    for line in _totals(trial.totals):
        yield from _wrapped(line, width)
    for pair in trial.neither:
        yield from _wrapped(f"Neither found: {' with '.join(pair)}.", width, "  ")
    missed = trial.missed
    yield from _wrapped("Every goal is met." if not missed else "Missed:", width)
    for sentence in missed:
        yield from _wrapped(sentence, width, "  ")


def _wide(one: OfFault) -> str:
    best = "" if one.best_minutes is None else f"{one.best_minutes:.0f}"
    return (
        f"{one.result:14}  {one.by or '':6}  {one.checks:6}  {one.minutes:5.0f}  "
        f"{best:>5}  {_share_wrong(one):>5}"
    ).rstrip()


def _short(name: str, room: int) -> str:
    return name if len(name) <= room else f"{name[: room - 1]}…"


def _narrow(one: OfFault, width: int) -> Iterator[str]:
    yield from _wrapped(one.fault, width)
    by = f", {one.by}" if one.by else ""
    yield f"  {one.result}{by}"
    wrong = f", wrong {_share_wrong(one)}" if one.wrong else ""
    yield from _wrapped(f"{one.checks} checks, {one.minutes:.0f} min{wrong}", width, "  ")


def _share_wrong(one: OfFault) -> str:
    return f"{100 * one.wrong / one.rows:.0f} %" if one.wrong else ""


def _wrong(trial: Trial, width: int) -> Iterator[str]:
    """Yield what is wrong with each fault's walk, and the step to blame."""
    for one in trial.faults:
        if one.why:
            at = f" at {one.blame}" if one.blame else ""
            yield from _wrapped(f"{one.fault}{at}: {one.why}", width)
        elif one.result is Result.GROUP:
            yield from _wrapped(f"{one.fault}: found after {', '.join(one.group[:-1])}.", width)


def _close(trial: Trial, width: int) -> Iterator[str]:
    """Yield every cut that a reading came nearer to than the meter is sure of."""
    nearest: dict[tuple[str, str], tuple[Closeness, str]] = {}
    for fault in trial.faults:
        for one in fault.closest:
            key = (one.step, one.cut)
            if one.margin < NEAR and (key not in nearest or one.margin < nearest[key][0].margin):
                nearest[key] = (one, fault.fault)
    for (step, cut), (one, of) in sorted(nearest.items(), key=lambda item: item[1][0].margin):
        words = f"Close: {step}, {cut}, {one.margin:.2g} of the meter's accuracy ({of})."
        yield from _wrapped(words, width)


def _totals(totals: Totals) -> Iterator[str]:
    yield (
        f"Detected {_percent(totals.detected)}, of these isolated {_percent(totals.isolated)} and "
        f"right {_percent(totals.correct)}, by weight."
    )
    yield (
        f"Findings a fault {totals.mean_group:.2f}, whole things mended a repair "
        f"{totals.false_removals:.2f}."
    )
    best = "" if totals.best_minutes is None else f", best order {totals.best_minutes:.0f}"
    yield f"Minutes to the finding {totals.minutes:.0f}{best}."
    yield f"Wrong in {_percent(totals.wrong)} of {totals.rows} varied rows; unsafe {totals.unsafe}."
    if totals.pairs:
        found = _percent(totals.pairs_found)
        yield f"Of {totals.pairs} pairs of faults one of the two was found in {found}."


def _percent(share: float) -> str:
    return f"{100 * share:.3g} %"


def _wrapped(words: str, width: int, indent: str = "") -> list[str]:
    more = f"{indent}  "
    return wrap(words, width, initial_indent=indent, subsequent_indent=more, break_on_hyphens=False)


# --- as data ------------------------------------------------------------------------------------


def as_data(trial: Trial) -> dict[str, object]:
    """Return a trial as data: every fault of the unit, those that do not belong marked so."""
    return {
        "unit": trial.unit,
        "tree": trial.tree,
        "samples": trial.samples,
        "seed": trial.seed,
        "faults": [
            *(_fault(one) for one in trial.faults),
            *({"fault": name, "belongs": False} for name in trial.elsewhere),
        ],
        "totals": _total_data(trial.totals),
        "neither": [list(pair) for pair in trial.neither],
        "alone": [one._asdict() for one in trial.alone],
        "missed": list(trial.missed),
    }


def _fault(one: OfFault) -> dict[str, object]:
    return {
        "fault": one.fault,
        "belongs": True,
        "suspect": one.suspect,
        "result": str(one.result),
        "finding": one.finding or None,
        "group": list(one.group),
        "by": str(one.by) if one.by else None,
        "seen": list(one.seen),
        "checks": one.checks,
        "minutes": one.minutes,
        "best_minutes": one.best_minutes,
        "blame": one.blame or None,
        "why": one.why or None,
        "rows": one.rows,
        "wrong": one.wrong,
        "closest": [close._asdict() for close in one.closest],
    }


def _total_data(totals: Totals) -> dict[str, object]:
    return {
        "faults": totals.faults,
        "detected": totals.detected,
        "isolated": totals.isolated,
        "correct": totals.correct,
        "mean_group": totals.mean_group,
        "false_removals": totals.false_removals,
        "minutes": totals.minutes,
        "best_minutes": totals.best_minutes,
        "efficiency": totals.efficiency,
        "rows": totals.rows,
        "wrong": totals.wrong,
        "unsafe": totals.unsafe,
        "pairs": totals.pairs,
        "pairs_found": totals.pairs_found,
    }
