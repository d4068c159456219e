"""``halfsplit check --mutate TREE``: whether the proof and a tree's cases notice slips."""

from __future__ import annotations

import json
from collections.abc import Iterator
from fractions import Fraction
from pathlib import PurePath
from typing import TextIO

from engine.cli import places
from engine.cli.exits import Exit
from engine.cli.walk import ready
from engine.cli.width import say
from engine.loader.library import cases_of, load
from engine.mutation.advice import advice
from engine.mutation.counting import BY_CASES, THE_SAME, Row, Score
from engine.mutation.mutant import Mutant
from engine.mutation.trying import Fate, Trial, Tried, every_mutant, sampled
from engine.tree import WalkTree

EVERY = 20
"""After how many mutants progress is told where it cannot be told in place."""


def run_mutate(
    tree: str, out: TextIO, err: TextIO, *, seed: int, everything: bool, as_json: bool
) -> int:
    """Try slips on a tree, by id or path; 1 where it can't be walked, or a goal is missed.

    Who stops it is told what came of those tried by then.
    """
    home = places.home()
    loaded = load(tree, home)
    walk = ready(loaded, err)
    if walk is None:
        return Exit.PROBLEMS
    cases, wrong = cases_of(tree, home, walk)
    err.writelines(f"{one}\n" for one in wrong)
    every = every_mutant(walk)
    chosen = every if everything else sampled(every, seed)
    if err.isatty():
        err.write(f"{walk.tree.name} as it is, and its cases first\n")
    trial = Trial(walk, cases, loaded.problems)
    for name in trial.stray:
        err.write(f"The case {name} is wrong of the tree as it is, and left out.\n")
    tried: list[Tried] = []
    try:
        tried.extend(_watched(trial.tried(chosen), len(chosen), err))
    except KeyboardInterrupt:
        err.write("\nStopped.\n")
    score = Score(tuple(tried))
    if as_json:
        out.write(json.dumps(_in_json(walk, score, len(every), seed), ensure_ascii=False) + "\n")
    else:
        drawn = "" if everything else f" (seed {seed}; --all tries every one)"
        say(out, [f"{walk.tree.name}: {len(tried)} of {len(every)} slips tried{drawn}"])
        say(out, _in_words(walk, score))
    if len(tried) < len(chosen):
        return Exit.STOPPED
    return Exit.FINE if score.is_enough and not trial.stray else Exit.PROBLEMS


def _watched(several: Iterator[Tried], of: int, err: TextIO) -> Iterator[Tried]:
    """Yield everything, and tell how far it has come."""
    for count, one in enumerate(several, 1):
        if err.isatty():
            err.write(f"\r{count} of {of} slips tried" + "\n" * (count == of))
        elif count % EVERY == 0:
            err.write(f"{count} of {of} slips tried\n")
        err.flush()
        yield one


# --- in words -----------------------------------------------------------------------------------


def _in_words(walk: WalkTree, score: Score) -> Iterator[str]:
    rows = score.rows()
    wide = max((len(row.operator.words) for row in rows), default=0)
    for safety in (True, False):
        some = [row for row in rows if row.operator.safety is safety]
        if some:
            whose = "for the proof" if safety else "for the cases"
            yield f"{whose:{wide}} tried noticed"
        for row in some:
            noticed = row.fates[Fate.PROOF if safety else Fate.CASES]
            yield f"{row.operator.words:{wide}} {row.tried:5} {noticed:7}"
            yield from _otherwise(row)
    yield from _goals(score)
    for one in score.survivors():
        yield f"{_place(walk, one.mutant)}: {one.mutant.title}: {one.mutant.change}."
        yield f"    {_fate(one)}{advice(walk, one.mutant)}"
    for one in score.tried:
        if one.fate is Fate.BEYOND:
            yield f"{_place(walk, one.mutant)}: {one.mutant.title}: {one.mutant.change}."
            yield f"    Beyond the rules: {one.why}"


def _otherwise(row: Row) -> Iterator[str]:
    """Yield what came of those that were not noticed by whose business it was."""
    own = Fate.PROOF if row.operator.safety else Fate.CASES
    told = [f"{row.fates[fate]} {fate}" for fate in Fate if fate is not own and row.fates[fate]]
    if told:
        yield f"    {', '.join(told)}"


def _goals(score: Score) -> Iterator[str]:
    unproved = score.unproved
    yield f"Slips that could hurt somebody and that the proof did not notice: {unproved}; goal 0."
    yield (
        f"Noticed by the cases, of the others that change anything: {_percent(score.by_cases)}; "
        f"goal {_percent(BY_CASES)} and more."
    )
    yield (
        f"The same as the tree in every cell: {_percent(score.the_same)}; "
        f"at most {_percent(THE_SAME)}."
    )


def _percent(share: Fraction) -> str:
    return f"{float(share) * 100:.3g} %"


def _fate(one: Tried) -> str:
    if one.fate is Fate.SURVIVED:
        return ""
    return f"Only {one.fate}{f' ({one.by})' if one.by else ''}. "


def _place(walk: WalkTree, mutant: Mutant) -> str:
    """Return the line of a mutant, with its file where that is not the tree's own."""
    span = mutant.span
    own = span.path == walk.tree.span.path
    return f"line {span.line}" if own else f"{PurePath(span.path).name} line {span.line}"


# --- as data ------------------------------------------------------------------------------------


def _in_json(walk: WalkTree, score: Score, of: int, seed: int) -> dict[str, object]:
    return {
        "tree": walk.tree.name,
        "tried": len(score.tried),
        "of": of,
        "seed": seed,
        "operators": [
            {
                "operator": row.operator.words,
                "for": "proof" if row.operator.safety else "cases",
                "tried": row.tried,
                **{str(fate): row.fates[fate] for fate in Fate},
            }
            for row in score.rows()
        ],
        "goals": {
            "unproved": score.unproved,
            "noticed by the cases": round(float(score.by_cases), 4),
            "the same": round(float(score.the_same), 4),
            "met": score.is_enough,
        },
        "slips": [_slip(walk, one) for one in score.tried],
    }


def _slip(walk: WalkTree, one: Tried) -> dict[str, object]:
    mutant = one.mutant
    return {
        "operator": mutant.operator.words,
        "path": mutant.span.path,
        "line": mutant.span.line,
        "step": mutant.title,
        "change": mutant.change,
        "fate": str(one.fate),
        "by": one.by,
        "why": one.why,
        "write": advice(walk, mutant) if one.is_missed else "",
    }
