"""What the last entry came to, in sentences: verdict, meaning, what it cleared, what it found."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from engine.entries import NOT_THERE
from engine.guide.filling import fill, value_of
from engine.session.nameplate import NONE
from engine.session.state import Passed, State
from engine.session.steps import step_named
from engine.tree import DONE, WalkTree

TOO_CLOSE = (
    "Too close to call: within the meter's accuracy it may lie on either side of a limit. Read "
    "again, every digit shown."
)
_MOST_NAMES = 4
"""Cleared causes that are still said by name; more are counted, and ``s`` lists them."""


def echo(walk: WalkTree, before: State, after: State) -> tuple[str, ...]:
    """Return what the last entry came to, one sentence a line: verdict, meaning, what it cleared.

    Also what answered itself on the way, a finding reached, how a nameplate answer was understood,
    and from where on the way is another one if an earlier entry was corrected.
    """
    if after.close and not before.close:
        return (TOO_CLOSE,)
    if not _continues(before, after):
        return tuple(_corrected(walk, before, after))
    lines: list[str] = []
    for one in after.passed[len(before.passed) :]:
        if (one.silent and not one.readings) or one.key == DONE:
            continue
        lines += _came_to(walk, after, one)
    lines += _cleared(walk, before, after)
    lines += _found(walk, before, after)
    lines += _going(walk, before, after)
    return tuple(lines or _understood(walk, before, after))


def judged_now(before: State, after: State) -> Passed | None:
    """Return the step whose readings the last entry completed; None where it was another entry."""
    new = after.passed[len(before.passed) :] if _continues(before, after) else ()
    return next((one for one in new if one.readings and not one.silent), None)


def _continues(before: State, after: State) -> bool:
    return after.passed[: len(before.passed)] == before.passed


def _came_to(walk: WalkTree, state: State, passed: Passed) -> Iterator[str]:
    """Yield one step's reading and verdict, then what it means; of several, the verdict first."""
    already = "already read: " if passed.silent else ""
    verdict = passed.verdict if passed.verdict != passed.key or passed.readings else passed.key
    said = [(spot or name.replace("_", " "), one) for name, spot, one in passed.readings]
    if len(said) == 1:
        read = said[0][1].words() if said[0][1] else NOT_THERE
        yield f"{already}{read}: {verdict}."
    else:
        yield f"{already}{verdict}."
    if passed.means:
        yield fill(walk, state, step_named(walk, passed.step), passed.means)
    if len(said) > 1:
        yield " · ".join(f"{where} {one.words() if one else NOT_THERE}" for where, one in said)


def _cleared(walk: WalkTree, before: State, after: State) -> Iterable[str]:
    new = after.bearings[len(before.bearings) :]
    names = [
        walk.tree.suspects[one.suspect].title
        for one in new
        if one.cleared and one.suspect in walk.tree.suspects
    ]
    if len(names) > _MOST_NAMES:
        return [f"Cleared: {len(names)} causes; s lists what is left."]
    return [f"Cleared: {', '.join(names)}."] if names else []


def _going(walk: WalkTree, before: State, after: State) -> Iterator[str]:
    """Say where the walk goes when it turns to the tree's way of leaving."""
    if _leaving(walk, after) and not _leaving(walk, before):
        yield "What follows is for leaving: off, tagged, told. u takes back the last entry."


def _leaving(walk: WalkTree, state: State) -> bool:
    return state.step.startswith(f"{walk.tree.if_stuck}/")


def _found(walk: WalkTree, before: State, after: State) -> Iterator[str]:
    for one in after.found[len(before.found) :]:
        finding = walk.tree.findings[one.finding]
        yield f"{'Noted' if finding.kind else 'Cause found'}: {finding.title}."


def _understood(walk: WalkTree, before: State, after: State) -> Iterator[str]:
    """Yield what a nameplate answer was taken as."""
    for name, value in after.numbers.items():
        if before.numbers.get(name) != value:
            yield f"Taken as {value_of(walk, name, value)}."
    for name, words in after.words.items():
        if before.words.get(name) != words:
            yield f"Taken as {words if isinstance(words, str) else ', '.join(words) or NONE}."


def _corrected(walk: WalkTree, before: State, after: State) -> Iterator[str]:
    """Yield what a corrected entry comes to now, and how many later ones lie on the way no more."""
    place = next(
        (
            n
            for n, (old, new) in enumerate(zip(before.passed, after.passed, strict=False))
            if old != new
        ),
        len(after.passed),
    )
    said = [one for one in after.passed[place:] if one.n > max(old.n for old in before.passed)]
    for one in said:
        yield f"Now: {step_named(walk, one.step).title}: {' '.join(_came_to(walk, after, one))}"
    yield from _understood(walk, before, after)
    lost = len(set(after.astray) - set(before.astray))
    if lost:
        later = "one later entry lies" if lost == 1 else f"{lost} later entries lie"
        yield f"The way is another from there: {later} on it no more, and stay in the record."
