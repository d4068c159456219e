"""A beginning written as a tree: its head, causes, stages, checks, ways out and findings.

Remarks say what each part is for and what is still to be done better by hand.
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.starter.beginning import Beginning
from engine.starter.plan import LEAVE, Check, checks, locks, stages_of, works_at_the_wall
from engine.starter.stage_text import stages
from engine.starter.step_text import step
from engine.starter.written import block, pair, pairs, quoted, remark
from engine.vocabulary import Vocabulary


def tree_text(beginning: Beginning, vocabulary: Vocabulary, schema: str) -> str:
    """Return the file of the tree; ``schema`` is where an editor finds what can be written."""
    every = checks(beginning, vocabulary)
    return "".join(f"{line}\n" for line in _lines(beginning, every, vocabulary, schema))


def _lines(
    beginning: Beginning, every: tuple[Check, ...], vocabulary: Vocabulary, schema: str
) -> Iterator[str]:
    yield f"# yaml-language-server: $schema={schema}"
    yield from remark(
        "Begun with halfsplit new tree. It can be walked as it is; make it yours line by line, and "
        "let halfsplit author show what each change comes to. Braces and brackets are for words "
        "and names only; a sentence stands below a | or on a line of its own."
    )
    yield ""
    yield from _head(beginning)
    yield ""
    yield from _suspects(every)
    yield ""
    yield from stages(stages_of(every))
    yield from _steps(every, vocabulary)
    yield from _findings(every)


def _head(beginning: Beginning) -> Iterator[str]:
    rows = (
        ("format", "1"),
        ("tree", beginning.name),
        ("title", quoted(beginning.title)),
    )
    yield from pairs(rows, 0)
    yield "complaint:"
    yield "  said as:"
    yield from (f"    - {quoted(one)}" for one in beginning.said_as)
    yield from pairs((("revision", "1"), ("status", "draft")), 0)
    yield from remark(
        "How the unit is fed: one supply, one disconnect, its own control transformer."
    )
    yield pair("layout", "single feed", 0)
    yield pair("if stuck", LEAVE, 0)


def _suspects(every: tuple[Check, ...]) -> Iterator[str]:
    yield from remark("The causes, and in how many of ten such calls it was this one.")
    yield "suspects:"
    for one in sorted(every, key=lambda check: -check.cause.of_ten):
        yield f"  {one.cause.name}:"
        title = quoted(one.cause.title) if one.cause.title else ""
        weight = f"{float(one.cause.of_ten):g} of 10"
        yield from pairs((("title", title), ("weight", weight)), 2)


# --- steps ----------------------------------------------------------------------------------------


def _steps(every: tuple[Check, ...], vocabulary: Vocabulary) -> Iterator[str]:
    yield "start: story"
    yield "steps:"
    yield ""
    wall = works_at_the_wall(every)
    yield from _before("at-the-wall" if wall else every[0].step)
    if wall:
        yield from _at_the_wall(every[0].step)
    yield from remark(
        "One check for each cause: first what is seen with every box shut, then what is read live, "
        "then what needs the lock. A reading that tells two causes apart saves a check. The "
        "minutes are guesses until you write yours; what a walk costs is reckoned from them.",
        1,
    )
    yield ""
    for one in every:
        yield from step(one, vocabulary)
        yield ""
    yield from _mended_and_out(any(one.mending_stage for one in every), locks(every))


def _before(first: str) -> Iterator[str]:
    yield from remark("A tripped breaker is another complaint, with a tree of its own.", 1)
    yield from f"""\
  story:
    title: Has a breaker tripped
    act: ask
    minutes: 1
    do: |
      Ask whether a breaker tripped or a fuse blew, and whether anybody put it on again.
    choices:
      nothing tripped: size-up
      it tripped:
        counts as: tripped
        on: breaker
        then: tripped
      tripped and put on again:
        counts as: tripped and reset
        on: breaker
        then: tripped
    cannot: size-up
  tripped:
    stage: any
    hand over: unit-trips-breaker
    keep: [readings, power, nameplate]
  size-up:
    title: Look round before you begin
    act: look over
    minutes: 1
    do: |
      Gas or burnt smell, water near wires, footing, light. Fit to work here?
    choices:
      fit: {{counts as: fit, then: {first}}}
      not fit: {{counts as: not fit, then: withdraw}}
      gas or smoke: {{counts as: gas, then: withdraw}}
""".splitlines()
    yield ""


def _at_the_wall(first: str) -> Iterator[str]:
    yield from remark("Control wires count as low voltage only once a reading has shown it.", 1)
    yield from f"""\
  at-the-wall:
    title: R to C at the thermostat
    stage: at the thermostat
    act: read live
    minutes: 2
    do: |
      One lead on R, one on C, on the base. No C, take G.
    readings:
      volts: {{function: volts, between: [thermostat.R, thermostat.C], when: at rest}}
    bands:
      below 50 V:
        verdict: low voltage
        counts as: under 50
        then: {first}
      otherwise:
        verdict: line voltage
        means: Line voltage on the control wires. Leads out, hands off.
        then: leave
    cannot: leave
    source: "code: 29 CFR 1910.333(a)(1), under 50 V to ground, from memory"
""".splitlines()
    yield ""


def _mended_and_out(mends: bool, locked: bool) -> Iterator[str]:
    if mends:
        yield from remark("Back on, and proved under load.", 1)
        yield ""
        yield from """\
  put-back:
    use: put-back-in-service
    with: {the device: disconnect, the work zone: unit}
    returns: {running: runs-on, trips: leave}
  runs-on:
    title: Five minutes on the call
    stage: any
    act: verify
    zone: unit
    minutes: 5
    why: |
      A repair is proved by the unit running, not by the part being new.
    do: |
      Covers on. Stay with it five minutes on the call that it failed on.
    choices:
      runs as it should: {counts as: good, then: hand-back}
      still wrong: {counts as: not good, then: go on}
  hand-back: {use: hand-back}
""".splitlines()
        yield ""
    yield from remark("The ways out.", 1)
    yield ""
    yield from """\
  leave: {stage: any, use: make-safe-and-leave, with: {the device: disconnect}}
  withdraw: {stage: any, use: withdraw}
""".splitlines()
    if locked:
        at_breaker = "{stage: any, use: make-safe-and-leave, with: {the device: breaker}}"
        yield f"  leave-at-breaker: {at_breaker}"
    yield ""


# --- findings -------------------------------------------------------------------------------------


def _findings(every: tuple[Check, ...]) -> Iterator[str]:
    yield from remark(
        "What is done about each cause. The first sentence of tell customer says what was wrong."
    )
    yield "findings:"
    for one in every:
        mending = one.cause.mending
        yield f"  {one.cause.name}:"
        act = "" if mending.own else "ask"
        rows = (
            ("suspect", one.cause.name),
            ("stage", one.mending_stage),
            ("act", act),
            ("who", mending.who),
            ("minutes", "20" if mending.own else "5"),
        )
        yield from pairs(rows, 2)
        yield from block("repair", mending.repair, 2)
        yield from block("tell customer", mending.tell_customer, 2)
        yield from block("left", "The complaint stays until it is mended.", 2)
        yield pair("then", "put-back" if mending.own else LEAVE, 2)
        if mending.own:
            yield pair("not now", LEAVE, 2)
