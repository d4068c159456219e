"""``halfsplit rank``: the next check, or the order of repairs, for an engineer's own matrix."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TextIO

from engine.cli.exits import Exit
from engine.cli.parsing import Parser, UsageError
from engine.cli.width import columns, folded
from engine.codes import problem
from engine.loader.library import load_rank
from engine.loader.wording import listed, shown
from engine.matrix import Search
from engine.problems import Problem, Span
from engine.suspects.alike import groups
from engine.suspects.belief import Belief, believe, two_at_once
from engine.suspects.odds import SURE
from engine.suspects.ranking import Ranking, rank
from engine.suspects.repairs import RepairOrder, repair_order

MOST_PAIRED = 300
"""Suspects up to which every two of them are tried."""
MOST_NAMED = 3
AFTER_NUMBER = 11
"""Columns in which a name begins that stands behind a number."""
LONGEST = 200
"""Characters of a name, which is shown on one line."""
USAGE = "halfsplit rank FILE [--json]"
DESCRIPTION = """The next check by expected minutes, for suspects and checks of your own (YAML or
JSON): suspects: {name: probability}, checks: {name: {minutes: n, outcomes: {suspect: outcome}}},
or likelihoods: {suspect: {outcome: p}} in place of outcomes, and known: {check: outcome}. With
repairs: {name: {minutes: n, fixes: [suspects]}} in place of checks, their best order."""


def run(arguments: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Run the command and return its exit code: 1 where something is wrong with the file."""
    parser = Parser(prog="halfsplit rank", usage=USAGE, description=DESCRIPTION)
    parser.add_argument("file", metavar="FILE", help="suspects with checks or repairs")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    try:
        given = parser.parse_args(arguments)
    except UsageError as error:
        (out if error.code is Exit.FINE else err).write(f"{error}\n")
        return error.code
    search, problems = load_rank(Path(given.file))
    err.writelines(f"{one}\n" for one in problems)
    if search is None:
        return Exit.PROBLEMS
    belief = believe(search.matrix, search.known)
    if not belief.explained:
        err.write(f"{_fits_none(search, belief)}\n")
        return Exit.PROBLEMS
    data, lines = _answer(search)
    if not given.json:
        out.writelines(f"{line}\n" for one in lines for line in _folded(one, out))
    else:
        out.write(f"{json.dumps(data, ensure_ascii=False)}\n")
    return Exit.FINE


def _folded(line: str, out: TextIO) -> list[str]:
    """Return a line as it fits into a window; for a file or another program it is left whole."""
    if not out.isatty():
        return [line]
    return folded(line, columns(out), AFTER_NUMBER if line.startswith(" ") else None)


def _fits_none(search: Search, belief: Belief) -> Problem:
    """Return that no suspect explains what is known, with what clashes and which two would do."""
    first = " and ".join(shown(name) for name in belief.clashes[0])
    others = len(belief.clashes) - 1
    more = f", and {others} more such set{'s' if others > 1 else ''}" if others else ""
    sentence = f"No suspect fits everything that is known: none fits {first} together{more}."
    fix = "Read again what is doubtful, or list the suspect that would explain it."
    few = len(search.matrix.names) <= MOST_PAIRED
    pairs = two_at_once(search.matrix, search.known)[:MOST_NAMED] if few else []
    if pairs:
        named = listed(f"{one} with {other}" for one, other, _ in pairs)
        fix += f" Two at once would: {named}."
    return problem("fits-none", search.known_at or Span(""), sentence, fix)


def _answer(search: Search) -> tuple[dict[str, object], list[str]]:
    """Return the answer as data and in words."""
    if search.repairs:
        suspects = search.matrix.suspects
        whole = sum(suspects.values())
        remaining = {name: weight / whole for name, weight in suspects.items()}
        order = repair_order(suspects, search.repairs)
        return _order_data(remaining, order), [*_possible(remaining), *_order_lines(order)]
    ranking = rank(search.matrix, search.known)
    alike = groups(search.matrix)
    return _rank_data(ranking, alike), [
        *_possible(ranking.belief.remaining),
        *_next_lines(ranking),
        *_alike_lines(alike),
    ]


def _rank_data(ranking: Ranking, alike: list[list[str]]) -> dict[str, object]:
    return {
        "remaining": dict(ranking.belief.remaining),
        "next": ranking.next,
        "expected_minutes": ranking.minutes,
        "method": str(ranking.method),
        "groups": alike,
    }


def _order_data(remaining: Mapping[str, float], order: RepairOrder) -> dict[str, object]:
    return {
        "remaining": dict(remaining),
        "order": list(order.order),
        "expected_minutes": order.minutes,
        "method": str(order.method),
    }


def _possible(remaining: Mapping[str, float]) -> Iterable[str]:
    yield "Still possible:"
    likeliest = sorted(remaining.items(), key=lambda one: -one[1])
    yield from (f"  {_percent(chance):>5} %  {_name(name)}" for name, chance in likeliest if chance)
    out = [name for name, chance in remaining.items() if not chance]
    if out:
        yield f"Out: {_names(out)}"


def _percent(chance: float) -> str:
    """Return a chance in percent; what is neither impossible nor certain is not shown so."""
    told = f"{100 * chance:.1f}"
    if chance < 1.0 and told == "100.0":
        return ">99.9"
    return "<0.1" if told == "0.0" else told


def _name(name: str) -> str:
    return shown(name, LONGEST)


def _names(names: Iterable[str]) -> str:
    return ", ".join(map(_name, names))


def _next_lines(ranking: Ranking) -> Iterable[str]:
    if ranking.next is None:
        sure = [name for name, one in ranking.belief.remaining.items() if 1.0 > one >= SURE]
        yield (
            f"{_name(sure[0])} is likely enough: no further check is planned."
            if sure
            else "No check is left that tells more."
        )
        return
    yield f"Next: {_name(ranking.next)}"
    yield f"Expected: {ranking.minutes:.4g} min to finish ({ranking.method})"
    yield "Each check as the next one, in minutes to finish:"
    yield from (f"  {one.minutes:8.4g}  {_name(one.task.name)}" for one in ranking.choices)


def _alike_lines(alike: list[list[str]]) -> Iterable[str]:
    for group in alike:
        if len(group) > 1:
            yield f"No check tells apart: {_names(group)}"


def _order_lines(order: RepairOrder) -> Iterable[str]:
    yield f"Order: {_names(order.order)}"
    yield f"Expected: {order.minutes:.4g} min ({order.method})"
