"""The cases of a begun tree: every finding from each side of its window, and nothing found.

The readings are made up for one unit; they show that the tree leads where it is meant to.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.starter.beginning import Beginning, Glance
from engine.starter.plan import UNIT_DEAD, Check, checks, locks, told_by_reading, works_at_the_wall
from engine.starter.samples import (
    FITTED,
    PHASES,
    nameplate,
    names_in,
    outside,
    sound,
)
from engine.starter.written import pair, quoted, remark
from engine.vocabulary import Relation, Vocabulary

SOUND_EVERYWHERE = "every check is sound"
_AS_USUAL = """\
as usual:
  story: nothing tripped
  size-up: fit
  switch-off: "off"
"""
_AT_THE_WALL = """\
  at-the-wall: 25 V
"""
_LOCKED = """\
  before-the-lock: one feed, nobody else
  try-it: stays still
"""
_PROVEN = """\
  volts-gone: 121 0 0 0 121
  dc-gone: 0 0 0 0
  dc-gone-no-capacitor: "0"
"""
_MENDED = """\
  switch-on: holds
  call: called
  runs-on: runs as it should
"""


def case_text(beginning: Beginning, vocabulary: Vocabulary) -> str:
    """Return the file of the cases."""
    every = checks(beginning, vocabulary)
    return "".join(f"{line}\n" for line in _lines(beginning, every, vocabulary))


def _lines(beginning: Beginning, every: tuple[Check, ...], vocabulary: Vocabulary) -> Iterator[str]:
    yield "format: 1"
    yield pair("cases for", beginning.name, 0)
    yield ""
    yield from remark(
        "Answers that hold unless a case says otherwise. Readings stand in the order of asking."
    )
    yield from _as_usual(every).splitlines()
    yield from (f"  {name}: {quoted(answer)}" for name, answer in _sound(every, vocabulary))
    yield ""
    yield from remark("Walks with their answers, and what each must come to. Make them your own.")
    yield "cases:"
    yield f"  {SOUND_EVERYWHERE}:"
    yield "    nameplate:"
    for name, value in _nameplate(every, vocabulary).items():
        yield f"      {name}: {value}"
    yield "    answers: {size-up: fit}"
    yield "    expect: {findings: [], end: made safe}"
    for at, check in enumerate(every):
        yield from _cases(check, every[at + 1 :], vocabulary)


def _as_usual(every: tuple[Check, ...]) -> str:
    stages = {name for one in every for name in (one.stage, one.mending_stage)}
    mends = any(one.mending_stage for one in every)
    parts = (
        _AT_THE_WALL if works_at_the_wall(every) else "",
        _LOCKED if locks(every) else "",
        _PROVEN if UNIT_DEAD in stages else "",
    )
    return "".join((_AS_USUAL, *parts, _MENDED if mends else ""))


def _sound(every: tuple[Check, ...], vocabulary: Vocabulary) -> Iterator[tuple[str, str]]:
    for one in every:
        how = one.cause.told_by
        yield one.step, how.otherwise if isinstance(how, Glance) else sound(how, vocabulary)


def _nameplate(every: tuple[Check, ...], vocabulary: Vocabulary) -> Mapping[str, str]:
    """Return what the unit has on its nameplate: all that may be asked on the way."""
    names = {name for _, how in told_by_reading(every) for name in names_in(how)}
    given = {PHASES: "1", FITTED: f"[{', '.join(_fitted(every))}]"}
    given |= {n: quoted(text) for n, text in nameplate(tuple(sorted(names)), vocabulary).items()}
    for test in (one for check in every for one in check.conditions):
        if test.relation in (Relation.IS, Relation.ONE_OF):
            given[test.name] = quoted(test.words[0])
    given[PHASES] = quoted(given[PHASES].strip('"'))
    return given


def _fitted(every: tuple[Check, ...]) -> list[str]:
    tests = (test for check in every for test in check.conditions)
    wanted = {w for one in tests if one.relation is Relation.HAS for w in one.words}
    return sorted(wanted | {"outdoor fan"})


def _cases(check: Check, after: tuple[Check, ...], vocabulary: Vocabulary) -> Iterator[str]:
    how = check.cause.told_by
    answers = (how.shows,) if isinstance(how, Glance) else outside(how, vocabulary)
    end = "in service" if check.cause.mending.own else "made safe"
    name = check.cause.name
    for number, answer in enumerate(answers):
        title = name if not number else f"{name}, the other side"
        yield f"  {title}:"
        yield f"    like: {SOUND_EVERYWHERE}"
        yield f"    answers: {{{check.step}: {quoted(answer)}}}"
        yield f"    expect: {{findings: [{name}], end: {end}, path: [{check.step}]}}"
    if check.cause.mending.own:
        yield f"  {name}, mended and still wrong:"
        yield f"    like: {name}"
        yield "    answers: {runs-on: [still wrong, runs as it should]}"
        yield f"    expect: {{findings: [{name}], end: made safe}}"
