"""``halfsplit rank``: the next check, or the order of repairs, for an engineer's own matrix."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TextIO

from engine.cli.exits import Exit
from engine.cli.parsing import Parser, UsageError
from engine.loader.library import load_rank
from engine.matrix import Search
from engine.suspects.alike import groups
from engine.suspects.ranking import Ranking, rank
from engine.suspects.repairs import RepairOrder, repair_order

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
    for problem in problems:
        err.write(f"{problem}\n")
    if search is None:
        return Exit.PROBLEMS
    data, lines = _answer(search)
    text = json.dumps(data, ensure_ascii=False) if given.json else "\n".join(lines)
    out.write(f"{text}\n")
    return Exit.FINE


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
    yield from (f"  {100 * chance:5.1f} %  {name}" for name, chance in likeliest if chance)
    out = [name for name, chance in remaining.items() if not chance]
    if out:
        yield f"Out: {', '.join(out)}"


def _next_lines(ranking: Ranking) -> Iterable[str]:
    if ranking.next is None:
        yield "No check is left that tells more."
        return
    yield f"Next: {ranking.next}"
    yield f"Expected: {ranking.minutes:.4g} min to finish ({ranking.method})"
    yield "Each check as the next one, in minutes to finish:"
    yield from (f"  {one.minutes:8.4g}  {one.task.name}" for one in ranking.choices)


def _alike_lines(alike: list[list[str]]) -> Iterable[str]:
    for group in alike:
        if len(group) > 1:
            yield f"No check tells apart: {', '.join(group)}"


def _order_lines(order: RepairOrder) -> Iterable[str]:
    yield f"Order: {', '.join(order.order)}"
    yield f"Expected: {order.minutes:.4g} min ({order.method})"
