"""Breakers: may this one be here, how large may it be, how long may it hold."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from engine.figure import Figure, FigureError, Input, Output
from engine.quantity import Kind
from engine.trade.limits import limit
from engine.trade.refuse import unless_above_zero, unless_zero_or_more
from engine.trade.table import table

# -- rating


@dataclass(frozen=True, slots=True)
class BreakerRating:
    """Whether a breaker's voltage marking allows it on these legs, and why."""

    permitted: bool
    reason: str


_MARKING = re.compile(r"(?P<first>[0-9]{2,4})Y?(?:/(?P<second>[0-9]{2,4}))?V?(?:AC)?")


def breaker_rating(marking: str, ll: float, lg: Sequence[float]) -> BreakerRating:
    """Return whether a breaker marked ``240``, ``120/240`` or ``480Y/277`` may feed these legs.

    ``ll`` in V between the legs it switches, ``lg`` in V from each of them to ground. A reading
    within 10 % of a nominal voltage is taken as that voltage: the rule speaks of nominal ones.
    Formula: a straight marking at least the volts between legs; of a slash marking the higher
    at least the volts between legs, the lower at least the highest leg to ground.
    Source: code, NEC 240.85, as restated at mikeholt.com (videodisplaynew.php?pageid=2104).
    Limits: slash markings only where the system is solidly grounded, which volts can't prove;
    interrupting rating, poles and maker are looked at apart.
    Raises FigureError for a marking that is none, ll not above zero, lg negative, or not one to
    three of them.
    """
    straight, lower = _marking(marking)
    unless_above_zero(ll=ll)
    if not 1 <= len(lg) <= 3:
        raise FigureError(f"lg wants the volts of each leg to ground; it has {len(lg)}.", "lg")
    for volts in lg:
        unless_zero_or_more(lg=volts)
    between, ground = _nominal(ll), max(_nominal(volts) for volts in lg)
    if straight < between:
        return BreakerRating(
            False, f"{between:g} V between legs is more than the {straight:g} V it is rated for."
        )
    if lower is not None and lower < ground:
        return BreakerRating(
            False,
            f"A leg has {ground:g} V to ground, and a breaker marked {marking} may have no more "
            f"than {lower:g} V there. It takes one with a straight {between:g} V rating.",
        )
    if lower is not None:
        return BreakerRating(
            True,
            f"{between:g} V between legs and {ground:g} V to ground are within {marking}, where "
            "the system is solidly grounded; volts alone can't prove that it is.",
        )
    reason = f"A straight {straight:g} V rating covers {between:g} V between legs."
    if min(lg) <= ll * limit("grounded leg") / 100:
        reason += (
            " One leg is grounded: a two-pole breaker on a three-phase corner-grounded delta "
            "must be marked 1-phase/3-phase."
        )
    return BreakerRating(True, reason)


def _marking(marking: str) -> tuple[float, float | None]:
    """Return the volts between legs and, of a slash marking, the volts to ground."""
    found = _MARKING.fullmatch(re.sub(r"\s", "", marking).upper())
    if not found:
        raise FigureError(
            f"marking={marking} is no voltage marking; write it as on the breaker: 240, 120/240, "
            "480Y/277.",
            "marking",
        )
    volts = sorted(float(text) for text in found.groups() if text)
    return volts[-1], volts[0] if len(volts) == 2 else None


def _nominal(volts: float) -> float:
    """Return the nominal voltage within 10 % of a reading, or the reading where there is none."""
    nominals = table("nominal_voltages")["rows"]
    nearest = min(nominals, key=lambda nominal: abs(volts - nominal) / nominal)
    return float(nearest) if abs(volts - nearest) <= 0.1 * nearest else volts


# -- size


@dataclass(frozen=True, slots=True)
class BranchCircuit:
    """Least circuit ampacity, and the largest overcurrent devices, all in A."""

    mca: float
    max_175: float
    size_175: float
    max_225: float
    size_225: float


def branch_circuit(compressors: Sequence[float], motors: Sequence[float] = ()) -> BranchCircuit:
    """Return the least ampacity and the largest breaker sizes of a circuit with compressors.

    ``compressors`` their rated-load (or branch-circuit selection) amps, ``motors`` the
    full-load amps of everything else that runs with them.
    Formula: mca = the sum of all + 25 % of the largest; max = 1.75 or 2.25 x the largest
    compressor + all the rest, rounded down to a standard size, never required below 15 A.
    Source: from memory, NEC 440.33 and 440.22(B)(1); rounding down as restated at ecmweb.com;
    standard sizes, code, NEC 240.6(A).
    Limits: the nameplate always wins (440.4(B)); 2.25 only where 1.75 won't start. Where the
    size falls below the mca, product standards let a nameplate take the next one up. Where a
    motor is larger than every compressor the code allows more than is answered here. Electric
    heat is not in it.
    Raises FigureError unless there is a compressor, and every value is above zero and below
    the largest standard size.
    """
    if not compressors:
        raise FigureError("compressors needs the rated-load amps of one at least.", "compressors")
    for amps in compressors:
        unless_above_zero(compressors=amps)
    for amps in motors:
        unless_above_zero(motors=amps)
    largest = max(compressors)
    rest = sum(compressors) - largest + sum(motors)
    mca = largest + rest + 0.25 * max((*compressors, *motors))
    max_175, max_225 = 1.75 * largest + rest, 2.25 * largest + rest
    return BranchCircuit(mca, max_175, _size(max_175), max_225, _size(max_225))


def _size(most: float) -> float:
    """Return the largest standard size not above ``most``, or the smallest there is."""
    sizes = table("breaker_sizes")["rows"]
    if most > sizes[-1]:
        raise FigureError(
            f"{most:g} A is beyond the largest standard size, {sizes[-1]:g} A.", "compressors"
        )
    # A hair of binary rounding must not cost a whole size.
    return float(max((size for size in sizes if size <= most + 1e-9), default=sizes[0]))


# -- time


@dataclass(frozen=True, slots=True)
class TripTime:
    """The longest a breaker may hold, in seconds; None where it need not trip at all."""

    seconds_at_most: float | None


def trip_time(rating: float, amps: float) -> TripTime:
    """Return the longest a sound breaker of ``rating`` A may hold ``amps``, in seconds.

    Formula: from 200 % the table's time; from 135 % an hour, above 50 A two; below None. Nothing
    is interpolated.
    Source: standard, UL 489; 135 % to 50 A and 200 % to 30 A as restated at optifuse.com, the
    rest from memory.
    Limits: molded-case breakers up to 600 A, cold at the start, every pole loaded; a hot panel
    trips sooner. Below 135 % it may trip, late; at 100 % it must hold.
    Raises FigureError for a rating not above zero or beyond the table, or negative amps.
    """
    unless_above_zero(rating=rating)
    unless_zero_or_more(amps=amps)
    rows = table("trip_times")["rows"]
    if rating > rows[-1][0]:
        raise FigureError(
            f"rating={rating:g}: the table of trip times ends at {rows[-1][0]:g} A.", "rating"
        )
    _, at_135, at_200 = next(row for row in rows if rating <= row[0])
    percent = round(100 * amps / rating, 9)
    if percent >= 200:
        return TripTime(float(at_200))
    return TripTime(float(at_135) if percent >= 135 else None)


FIGURES = (
    Figure(
        name="breaker_rating",
        title="Voltage marking of a breaker",
        inputs=(
            Input("marking", None, sentence="As on the breaker: 240, 120/240, 480Y/277."),
            Input("ll", Kind.VOLTAGE, "V", "Volts between the legs it switches."),
            Input("lg", Kind.VOLTAGE, "V", "Volts of each of its legs to ground.", many=True),
        ),
        outputs=(Output("permitted", None, words=("yes", "no")), Output("reason", None)),
        principal="permitted",
        function=breaker_rating,
        formula="straight >= legs; slash: higher >= legs and lower >= highest leg to ground",
        source="code: NEC 240.85, as restated at mikeholt.com",
        limits="A slash marking only where the system is solidly grounded: volts can't prove it.",
        example="marking=120/240 ll=240 lg=120,208",
    ),
    Figure(
        name="branch_circuit",
        title="Ampacity and breaker of a unit's circuit",
        inputs=(
            Input(
                "compressors",
                Kind.CURRENT,
                "A",
                "Rated-load amps (or branch-circuit selection) of each compressor.",
                many=True,
            ),
            Input(
                "motors",
                Kind.CURRENT,
                "A",
                "Full-load amps of each fan and other load that runs with them.",
                many=True,
                optional=True,
            ),
        ),
        outputs=(
            Output("mca", Kind.CURRENT, "A"),
            Output("max_175", Kind.CURRENT, "A"),
            Output("size_175", Kind.CURRENT, "A"),
            Output("max_225", Kind.CURRENT, "A"),
            Output("size_225", Kind.CURRENT, "A"),
        ),
        principal="mca",
        rises=("max_175", "max_225"),
        function=branch_circuit,
        formula="mca = all + 25 % of the largest; max = 1.75 or 2.25 x largest compressor + rest",
        source="from memory: NEC 440.33, 440.22(B)(1); code: NEC 240.6(A) standard sizes",
        limits="The nameplate wins. Rounded down; 2.25 only where 1.75 won't start. No heaters.",
        example="compressors=19.2 motors=1.4,1.4,5.3",
    ),
    Figure(
        name="trip_time",
        title="How long a breaker may hold",
        inputs=(
            Input("rating", Kind.CURRENT, "A", "Amps on the breaker's handle."),
            Input("amps", Kind.CURRENT, "A", "Amps it carries."),
        ),
        outputs=(Output("seconds_at_most", Kind.TIME, "s"),),
        principal="seconds_at_most",
        function=trip_time,
        formula="from 200 %: the table; from 135 %: 3,600 s, above 50 A 7,200 s; below: none",
        source="standard: UL 489, as restated at optifuse.com; from memory: 200 % above 30 A",
        limits="Up to 600 A, cold at the start; a hot panel trips sooner.",
        example="rating=40 amps=80",
    ),
)
"""The figures of this subject."""
