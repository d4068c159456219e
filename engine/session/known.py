"""What is known at one moment of a walk: readings, nameplate, what was worked out, by name.

A reading that has gone stale is kept and shown, but no formula sees it any more.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from engine.formula import Value
from engine.reading import Reading
from engine.session.judging import Known, Spot, spots, value_of
from engine.session.nameplate import PHASES
from engine.session.state import ReadingKey, State, Took
from engine.tree import ActHead, Step, WalkTree

Readings = Mapping[tuple[str, str], Reading | None]
"""What was read at a step: (reading name, spot) → reading; None for a part that is not there."""


def phases_of(state: State) -> str:
    """Return the unit's phases as the nameplate tells them; empty where not yet known."""
    word = state.words.get(PHASES, "")
    return word if isinstance(word, str) else ""


def spots_of(walk: WalkTree, state: State, step: Step) -> tuple[Spot, ...]:
    """Return every spot that a step reads on this unit."""
    return spots(step, walk.vocabulary, phases_of(state), state.words)


def given_values(readings: Readings) -> dict[str, Value]:
    """Return reading name → value: one where there is one spot, a tuple where there are more.

    What is not there is left out of a set; a single reading that is not there is an empty set,
    so that the least of several can be taken without it.
    """
    values: dict[str, Value] = {}
    for (name, label), reading in readings.items():
        if not label and reading is not None:
            values[name] = value_of(reading)
        else:
            before = values.get(name, ())
            more = () if reading is None else (value_of(reading),)
            values[name] = (*(before if isinstance(before, tuple) else ()), *more)
    return values


def lookup(walk: WalkTree, state: State, *, even_stale: bool = False) -> Known:
    """Return a function from a name of a formula to its value in this state, or None.

    ``even_stale`` is for texts, which may show what no longer counts.
    """

    def known(name: str) -> Value | None:
        name = walk.gives.get(name, name)
        if name in state.numbers:
            return state.numbers[name]
        if name in state.worked:
            return state.worked[name]
        keys = state.named.get(name)
        if keys is not None:
            return _values_at(state, keys, even_stale)
        word = state.words.get(name)
        return word if isinstance(word, str) else None

    return known


def _values_at(state: State, keys: tuple[ReadingKey, ...], even_stale: bool) -> Value | None:
    took = [state.taken[key] for key in keys]
    if any(one.stale for one in took) and not even_stale:
        return None
    if len(took) == 1:
        return value_of(took[0].reading)
    return tuple(value_of(one.reading) for one in took)


def keyed(wanted: Iterable[Spot], leads_off: tuple[str, ...]) -> Keyed:
    """Return each spot of a step with what makes its reading the same reading elsewhere."""
    return tuple((spot, ReadingKey.of(spot, leads_off)) for spot in wanted)


Keyed = tuple[tuple[Spot, ReadingKey], ...]
"""Spots with the keys of their readings."""


def keep_taken(state: State, wanted: Keyed, readings: Readings, *, n: int, step: str = "") -> State:
    """Return the state with readings kept by what was read, from the entry ``n``.

    ``step`` is the step they answer; empty for readings that were given out of order.
    """
    taken = dict(state.taken)
    for spot, key in wanted:
        reading = readings.get((spot.reading, spot.label))
        if reading is not None:
            taken[key] = Took(reading, n, frozenset({step} if step else ()))
    return state._replace(taken=taken)


def keep_names(state: State, step: Step, wanted: Keyed, own: Mapping[str, Value]) -> State:
    """Return the state in which ``step.reading`` and what the step works out can be looked up."""
    named: dict[str, tuple[ReadingKey, ...]] = {}
    for spot, key in wanted:
        if key in state.taken:
            name = f"{step.name}.{spot.reading}"
            named[name] = (*named.get(name, ()), key)
    work_out = step.head.work_out if isinstance(step.head, ActHead) else ()
    worked = {f"{step.name}.{name}": own[name] for name, _ in work_out if name in own}
    state = state._replace(named={**state.named, **named})
    return state._replace(worked={**state.worked, **worked}) if worked else state
