"""One check of a begun tree: where the leads go, what it may read, where each answer leads."""

from __future__ import annotations

from collections.abc import Iterator

from engine.power import Act
from engine.reading import Function
from engine.starter.beginning import Glance, Measurement
from engine.starter.low_voltage import LOW_VOLTAGE, on_control
from engine.starter.plan import LEAVE, Check
from engine.starter.sentences import LONGEST_TITLE
from engine.starter.written import block, pair, pairs, quoted, remark
from engine.vocabulary import Comparison, Vocabulary

LOW, GOOD, HIGH = "too low", "as it should be", "too high"
_NAMES = {
    Function.VOLTS: "volts",
    Function.DC_VOLTS: "volts",
    Function.CLAMP_AMPS: "amps",
    Function.OHMS: "ohms",
    Function.CAPACITANCE: "microfarads",
}
_CLOSE = "Too close to call, and again: nothing is replaced for it, the next check is made."
_MINUTES = {True: "4", False: "2"}


def step(check: Check, vocabulary: Vocabulary) -> Iterator[str]:
    """Yield the lines of a check."""
    how = check.cause.told_by
    yield f"  {check.step}:"
    yield pair("title", quoted(_title(check, vocabulary)), 2)
    if check.stage:
        yield pair("stage", check.stage, 2)
    if check.zone:
        yield pair("zone", check.zone, 2)
    if check.conditions:
        conditions = ", ".join(condition(one) for one in check.conditions)
        yield pair("if", f"[{conditions}]" if len(check.conditions) > 1 else conditions, 2)
        yield pair("if not", check.after, 2)
    if isinstance(how, Glance):
        yield from _glance(check, how)
    else:
        yield from _measurement(check, how, vocabulary)


def condition(one: Comparison) -> str:
    """Return a condition as it is written."""
    return f"{one.name} {one.relation} {', '.join(one.words)}"


def _title(check: Check, vocabulary: Vocabulary) -> str:
    how = check.cause.told_by
    cause = check.cause.title or vocabulary.suspects[check.cause.name]
    if isinstance(how, Glance):
        return f"Is it: {cause}"[:LONGEST_TITLE]
    titles = [vocabulary.points[lead].title for lead in how.leads]
    whole = " to ".join(titles)
    return whole if len(whole) <= LONGEST_TITLE else f"Is it: {cause}"[:LONGEST_TITLE]


def _glance(check: Check, how: Glance) -> Iterator[str]:
    act = Act.LOOK if how.box else Act.ASK
    yield from pairs((("act", str(act)), ("minutes", "2")), 2)
    yield from block("do", how.do, 2)
    yield "    choices:"
    yield f"      {quoted(how.shows)}:"
    yield from _found(check)
    yield f"      {quoted(how.otherwise)}:"
    yield from _cleared(check)
    yield pair("cannot", check.after, 2)
    yield pair("source", '"practice: common practice, no source"', 2)


def _found(check: Check) -> Iterator[str]:
    yield pair("finds", check.cause.name, 4)
    yield pair("if still wrong", check.after, 4)


def _cleared(check: Check) -> Iterator[str]:
    yield pair("clears", f"[{check.cause.name}]", 4)
    yield pair("then", check.after, 4)


# --- readings -------------------------------------------------------------------------------------


def _measurement(check: Check, how: Measurement, vocabulary: Vocabulary) -> Iterator[str]:
    dead = how.function.is_dead
    act = Act.READ_DEAD if dead else Act.READ_LIVE
    yield from pairs((("act", str(act)), ("minutes", _MINUTES[dead])), 2)
    if dead:
        yield pair("leads off", f"[{how.leads[0]}]", 2)
    name = _NAMES[how.function]
    where = f"between: [{', '.join(how.leads)}]"
    if how.function is Function.CLAMP_AMPS:
        where = f"each of: [{how.leads[0]}]"
    when = "dead" if dead else "running"
    yield from block("do", _do(how, vocabulary), 2)
    yield "    readings:"
    yield f"      {name}: {{function: {how.function}, {where}, when: {when}}}"
    if how.function is Function.CLAMP_AMPS:
        yield pair("judge", f"max({name})", 2)
    yield "    bands:"
    yield from _bands(check, how, vocabulary)
    yield from remark(_CLOSE, 2)
    yield pair("close", GOOD, 2)
    yield pair("cannot", check.after, 2)
    yield pair("source", quoted(how.source), 2)


def _do(how: Measurement, vocabulary: Vocabulary) -> str:
    titles = [vocabulary.points[lead].title for lead in how.leads]
    if how.function is Function.CLAMP_AMPS:
        return f"Clamp round one conductor: {titles[0]}. Unit on its call."
    unit = "Unit on its call." if not how.function.is_dead else "Reading held for three seconds."
    return f"One lead on {titles[0]}, one on {titles[1]}. {unit}"


def _bands(check: Check, how: Measurement, vocabulary: Vocabulary) -> Iterator[str]:
    low_volts = on_control(how, vocabulary)
    if how.at_least:
        yield from _band(f"below {how.at_least}", LOW, under_50=low_volts)
        yield from _found(check)
    if how.at_most:
        yield from _band(f"up to {how.at_most}", GOOD, under_50=low_volts)
        yield from _cleared(check)
        above, lines = HIGH, _found(check)
    else:
        above, lines = GOOD, _cleared(check)
    yield from _band(_BELOW_50 if low_volts else "otherwise", above, under_50=low_volts)
    yield from lines
    if low_volts:
        yield from _band("otherwise", "line voltage", under_50=False)
        yield pair("means", "Line voltage on the control wires. Leads out, hands off.", 4)
        yield pair("then", LEAVE, 4)
    if how.function is Function.CAPACITANCE:
        yield from _band("OL", "over the range", under_50=False)
        yield from _found(check)


_BELOW_50 = f"below {LOW_VOLTAGE} V"


def _band(key: str, verdict: str, *, under_50: bool) -> Iterator[str]:
    """Yield a band's key and its verdict."""
    yield f"      {key}:"
    yield pair("verdict", verdict, 4)
    if under_50:
        yield pair("counts as", "under 50", 4)
