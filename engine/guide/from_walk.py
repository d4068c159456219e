"""A figure worked out in the middle of a walk: what the walk can give, and the way there and back.

Only fresh readings and nameplate values are offered. A value is what Enter takes only where the
input asks for just that: volts between the legs at one place, the rating on the can, ohms from C
to R. What merely has the same unit is listed under ``k`` with the place where it was read, and
counts for nothing until its number is typed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from engine.formula import Measured
from engine.guide.line import Action
from engine.guide.talk import Mode, Reply, Talk, View
from engine.guide.working_out import Turn, take
from engine.guide.working_page import page
from engine.guide.working_state import Offer, Working
from engine.quantity import Kind, words
from engine.reading import FUNCTION_KIND, Function
from engine.session.judging import leg
from engine.session.state import ReadingKey, Took

DEAD = "dead"
"""When a reading is taken on a circuit without voltage: such volts say nothing of the supply."""

_GROUND = ("ground", "N")
_KNOWN_SOURCE = "known_source."
_PAIRS = [{0, 1}, {1, 2}, {2, 0}]
_LEGS = (("L1", "L2", "L3"), ("T1", "T2", "T3"))


class Across(StrEnum):
    """How the leads, or the jaw, stand to the legs."""

    LEGS = "between two legs"
    GROUND = "from a leg to ground"
    POLE = "over one pole"
    ROUND = "round one leg"


_FIELDS: Mapping[str, tuple[str, ...]] = {
    "rated_volts": ("nameplate_voltage.rated", "locked_rotor.rated", "insulation.volts"),
    "mca": ("conductor.amps",),
    "breaker_amps": ("trip_time.rating",),
    "breaker_marking": ("breaker_rating.marking",),
    "compressor_rla": ("running_amps.rla",),
    "compressor_lra": ("locked_rotor.lra",),
    "rated_capacitance": (
        "capacitor.rated",
        "capacitor_current.microfarads",
        "capacitor_energy.microfarads",
    ),
    "capacitance_tolerance": ("capacitor.tolerance",),
    "capacitor_volts": ("capacitor_energy.volts",),
    "control_volts": ("control_transformer.secondary", "coil.rated"),
    "transformer_va": ("control_transformer.va",),
    "transformer_tap": ("control_transformer.tap",),
    "refrigerant": ("saturation.refrigerant", "superheat.refrigerant", "subcooling.refrigerant"),
    "phases": ("voltage_drop.phases",),
}
"""Nameplate fields of the vocabulary, and the inputs of figures that ask for just that."""

_BETWEEN: Mapping[tuple[Function, str], str] = {
    (Function.VOLTS, "contactor.coil.1 contactor.coil.2"): "coil.volts",
    (Function.VOLTS, "transformer.primary.1 transformer.primary.2"): "control_transformer.supply",
    (Function.OHMS, "compressor.C compressor.R"): "windings.cr",
    (Function.OHMS, "compressor.C compressor.S"): "windings.cs",
    (Function.OHMS, "compressor.R compressor.S"): "windings.sr",
    (Function.OHMS, "compressor.lead.C compressor.lead.R"): "windings.cr",
    (Function.OHMS, "compressor.lead.C compressor.lead.S"): "windings.cs",
    (Function.OHMS, "compressor.lead.R compressor.lead.S"): "windings.sr",
}
"""What is read between two points (in the order of the alphabet), and the input that wants it."""


@dataclass(frozen=True, slots=True)
class _Place:
    """What the readings of one list have in common."""

    function: Function
    across: Across
    where: str
    """The row of terminals: what stands before the leg in the name of a point."""
    when: str
    leads_off: tuple[str, ...]


Taken = tuple[ReadingKey, Took]
Rows = Mapping[_Place, Mapping[int, Taken]]
"""By place, what was read there by the number of the leg, or of the pair that begins with it."""


def work_out(view: View, rest: str) -> Reply:
    """Begin to work a figure out with what the walk knows; ``rest`` may pick the figure at once."""
    working = Working(offers(view), on_walk=True, degrees=view.walk.degrees)
    turn = take(working, rest) if rest else Turn(working)
    if turn.refused:
        typed = f"{Action.FIGURES} {rest}"
        return Reply(refused=(typed, f"{' ' * (len(typed) - len(rest))}^", turn.refused[-1]))
    return reply(working, turn)


def reply(before: Working, turn: Turn) -> Reply:
    """Return what a line came to as the entry line shows it, line by line."""
    working = turn.working
    if working is None:
        return Reply(lines=("Back to the step; nothing was entered.",))
    shown = page(working)
    held = Reply(talk=Talk(Mode.FIGURE, working=working), asks=shown.wanted)
    if turn.refused:
        return replace(held, refused=turn.refused)
    if working is before and (turn.sun or turn.lines):
        return replace(held, lines=turn.lines, sun=turn.sun)
    title = () if before.asking and shown.title == page(before).title else (shown.title,)
    return replace(held, lines=(*turn.lines, *title, *shown.lines(asides=not working.asking)))


# What the walk can give


def offers(view: View) -> tuple[Offer, ...]:
    """Return the fresh readings, what was read last first, and then what the nameplate says."""
    fresh = [one for one in view.state.taken.items() if not one[1].stale and _counts(one[0])]
    fresh.sort(key=lambda one: -one[1].n)
    rows = _rows(fresh)
    supply = _supply(rows)
    lists = (one for place, row in rows.items() for one in _lists(view, place, row, supply))
    meant = dict(_meant_alone(fresh, rows, supply))
    singles = (_single(view, key, took, meant.get(key, "")) for key, took in fresh)
    return (*lists, *singles, *_nameplate(view))


def _counts(key: ReadingKey) -> bool:
    """Return whether a reading says more than that a circuit was dead, or the meter works."""
    if FUNCTION_KIND[key.function] is not Kind.VOLTAGE:
        return True
    return key.when != DEAD and not key.a.startswith(_KNOWN_SOURCE)


def _rows(fresh: Sequence[Taken]) -> Rows:
    rows: dict[_Place, dict[int, Taken]] = {}
    for key, took in fresh:
        for across, where, number in _standing(key):
            place = _Place(key.function, across, where, key.when, key.leads_off)
            rows.setdefault(place, {}).setdefault(number, (key, took))
    return rows


def _standing(key: ReadingKey) -> Iterator[tuple[Across, str, int]]:
    """Yield how a reading stands in a list: the way of its leads, where, and which leg it is."""
    here, there = key.a.rpartition(".")[0], key.b.rpartition(".")[0]
    first, other = leg(key.a), leg(key.b)
    for legs in _LEGS:
        if first not in legs:
            continue
        number = legs.index(first)
        if not key.b:
            yield Across.ROUND, here, number
        elif other in _GROUND:
            yield Across.GROUND, here, number
        elif here == there and other in legs and other != first:
            yield Across.LEGS, here, _PAIRS.index({number, legs.index(other)})
    number_of = {first[-1:], other[-1:]}
    if here and there and first != other and len(number_of) == 1 and number_of < {*"123"}:
        yield Across.POLE, f"{here} {there}", int(first[-1]) - 1


def _supply(rows: Rows) -> _Place | None:
    """Return the place where volts between the legs were read last."""
    for place, row in rows.items():
        legs = place.function is Function.VOLTS and place.across is Across.LEGS
        if legs and set(row) in ({0}, {0, 1, 2}):
            return place
    return None


def _lists(
    view: View, place: _Place, row: Mapping[int, Taken], supply: _Place | None
) -> Iterator[Offer]:
    """Yield the readings of a place as one list, where it is whole."""
    two = place.across is Across.GROUND and set(row) == {0, 1}
    if two or set(row) == {0, 1, 2}:
        took = [row[number][1] for number in sorted(row)]
        meant = frozenset(_meant(place, supply))
        yield _offer(place.function, took, _title(view, took[0]), meant)


def _meant(place: _Place, supply: _Place | None) -> Iterator[str]:
    """Yield the inputs that ask for just such a list.

    Volts to ground belong to the volts between the legs only at the same terminals: an open pole
    may lie between others.
    """
    here = supply is not None and (supply.where, supply.when) == (place.where, place.when)
    match place.function, place.across:
        case Function.VOLTS, Across.LEGS:
            yield "unbalance.values"
            if place == supply:
                yield "supply.ll"
        case Function.VOLTS, Across.GROUND if here:
            yield "supply.ln"
        case Function.LOW_IMPEDANCE_VOLTS, Across.GROUND if here:
            yield "supply.low_z"
        case Function.CLAMP_AMPS, Across.ROUND:
            yield "unbalance.values"
        case Function.OHMS, Across.LEGS if place.where.startswith("compressor"):
            yield "winding_balance.ohms"
        case Function.MILLIVOLTS, Across.POLE:
            yield "poles.millivolts"


def _meant_alone(
    fresh: Sequence[Taken], rows: Rows, supply: _Place | None
) -> Iterator[tuple[ReadingKey, str]]:
    """Yield the readings that an input asks for one by one, each with that input."""
    insulation = [key for key, _ in fresh if key.function is Function.INSULATION]
    if len(insulation) == 1:
        yield insulation[0], "insulation.megohms"
    if supply and len(rows[supply]) == 1:
        # Two legs have one pair.
        yield rows[supply][0][0], "supply.ll"
    for key, _ in fresh:
        ends = (key.function, " ".join(sorted((key.a, key.b))))
        if ends in _BETWEEN:
            yield key, _BETWEEN[ends]


def _single(view: View, key: ReadingKey, took: Took, meant: str) -> Offer:
    spot = "-".join(leg(one) for one in (key.a, key.b) if one)
    about = f"{_title(view, took)}, {spot}"
    return _offer(key.function, [took], about, frozenset([meant] if meant else []))


def _offer(function: Function, took: Sequence[Took], about: str, meant: frozenset[str]) -> Offer:
    text = " ".join(one.reading.words() for one in took)
    return Offer(text, about, FUNCTION_KIND[function], len(took), meant)


def _title(view: View, took: Took) -> str:
    """Return the title of the step that a reading was taken at."""
    return next((one.title for one in view.entries if one.n == took.n), "")


def _nameplate(view: View) -> Iterator[Offer]:
    """Yield what the nameplate says, the numbers and the words."""
    for name, one in view.walk.fields.items():
        meant = frozenset(_FIELDS.get(name, ()))
        number, word = view.state.numbers.get(name), view.state.words.get(name)
        values = number if isinstance(number, tuple) else (number,)
        said = [
            words(value.quantity, degrees=view.walk.degrees)
            for value in values
            if isinstance(value, Measured)
        ]
        if said:
            yield Offer(" ".join(said), one.ask, one.kind, len(said), meant)
            if len(said) > 1:
                yield from (Offer(end, one.ask, one.kind) for end in said)
        elif isinstance(word, str) and any(char.isdigit() for char in word):
            # *Other* and *cannot be read* are answers, but no values.
            yield Offer(word, one.ask, None, 1, meant)
