"""Which supply this is, by its volts, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from engine.figure import Figure, FigureError, Input, Output
from engine.quantity import Kind
from engine.trade.refuse import unless_zero_or_more
from engine.trade.supply_cases import UNGROUNDED, UNKNOWN, Case, Found, Readings, judged
from engine.trade.supply_points import LEGS
from engine.trade.supply_words import explanation

SYSTEMS = (
    "120/240 single-phase",
    "208 single-phase",
    "208Y/120",
    "480Y/277",
    "240/120 high-leg delta",
    "240 corner-grounded delta",
    "480 corner-grounded delta",
    UNGROUNDED,
    UNKNOWN,
)
CONDITIONS = ("normal", "lost leg", "open neutral", "upstream line lost", "not provable")
MOST_VOLTS = 1000.0

_CONDITION = {
    Case.NORMAL: "normal",
    Case.OPEN_NEUTRAL: "open neutral",
    Case.UPSTREAM: "upstream line lost",
    Case.LOST: "lost leg",
    Case.EITHER_LOST: "lost leg",
    Case.ONE_LEFT: "lost leg",
}
"""Every other case is not provable."""


@dataclass(frozen=True, slots=True)
class Supply:
    """A supply by its volts."""

    system: str
    condition: str
    high_leg: str | None
    grounded_leg: str | None
    lost_leg: str | None
    """The one leg that is lost or, where it is not provable, suspected; None where it is one of
    several."""
    explanation: str


def supply(
    ll: Sequence[float],
    ln: Sequence[float],
    low_z: Sequence[float] | None = None,
    load_side: str = "no",
) -> Supply:
    """Return which system a set of volts belongs to, and the condition it is in.

    ``ll`` in V: L1-L2, L2-L3, L3-L1, or one value for two legs; ``ln`` in V: each leg to the
    neutral or to ground; ``low_z`` the same with a low-impedance meter; ``load_side`` is yes
    where a pole, fuse or contactor lies between these points and the supply.
    Formula: volts are distances between points; readings are held against the points of each
    system, whole, with one leg gone, with one primary line gone, with the neutral adrift. A
    nominal may be off by 12 %, each reading by 10 % beyond that.
    Source: physics; the shares are engineering judgement, in the table ``supply_systems``.
    Limits: 120 to 480 V, 60 Hz, rms meters; steady readings taken in one go. Without ``low_z``
    the readings to ground are taken as to a neutral that is there; with it, a leg that falls by
    more than 10 % makes the system ``ungrounded or unproven``. On the load side a running motor
    can hold up an open leg: a leg a little lower than the others is then ``not provable``.
    Raises FigureError for another count of values, and for volts negative or above 1,000.
    """
    if load_side not in ("yes", "no"):
        raise FigureError(f"load_side={load_side}: it is yes or no.", "load_side")
    readings = _readings(ll, ln, low_z, load_side == "yes")
    found = judged(readings)
    return Supply(
        system=found.system,
        condition=_CONDITION.get(found.case, "not provable"),
        high_leg=_leg(found.high),
        grounded_leg=_leg(found.grounded),
        lost_leg=_lost_leg(found),
        explanation=explanation(readings, found),
    )


def _leg(place: int | None) -> str | None:
    return None if place is None else LEGS[place]


def _lost_leg(found: Found) -> str | None:
    if found.case in (Case.LOST, Case.HELD_UP):
        return LEGS[found.legs[0]]
    return None


def _readings(
    ll: Sequence[float], ln: Sequence[float], low_z: Sequence[float] | None, load_side: bool
) -> Readings:
    if (len(ll), len(ln)) not in ((1, 2), (3, 3)):
        key = "ln" if len(ll) in (1, 3) else "ll"
        raise FigureError(
            f"It takes three values of ll and three of ln, or one of ll and two of ln; given are "
            f"{len(ll)} and {len(ln)}.",
            key,
        )
    if low_z is not None and len(low_z) != len(ln):
        raise FigureError(
            f"low_z repeats ln with a low-impedance meter: it takes {len(ln)} values, not "
            f"{len(low_z)}.",
            "low_z",
        )
    for key, values in (("ll", ll), ("ln", ln), ("low_z", low_z or ())):
        for volts in values:
            unless_zero_or_more(**{key: volts})
            if volts > MOST_VOLTS:
                raise FigureError(
                    f"{key}={volts:g} V is above {MOST_VOLTS:g} V, beyond what is judged here and "
                    "what these meters may read.",
                    key,
                )
    return Readings(tuple(ll), tuple(ln), None if low_z is None else tuple(low_z), load_side)


FIGURES = (
    Figure(
        name="supply",
        title="Which supply this is, and what is wrong with it",
        inputs=(
            Input(
                "ll",
                Kind.VOLTAGE,
                "V",
                "Volts L1-L2, L2-L3, L3-L1; one value for two legs.",
                many=True,
            ),
            Input(
                "ln",
                Kind.VOLTAGE,
                "V",
                "Volts of L1, L2, L3 to neutral or ground; two values for two legs.",
                many=True,
            ),
            Input(
                "low_z",
                Kind.VOLTAGE,
                "V",
                "The same to ground, read with a low-impedance meter.",
                many=True,
                optional=True,
            ),
            Input(
                "load_side",
                None,
                sentence="Yes where a pole, fuse or contactor lies ahead of these points.",
                optional=True,
                default="no",
                words=("yes", "no"),
            ),
        ),
        outputs=(
            Output("system", None, words=SYSTEMS),
            Output("condition", None, words=CONDITIONS),
            Output("high_leg", None, words=LEGS),
            Output("grounded_leg", None, words=LEGS),
            Output("lost_leg", None, words=LEGS),
            Output("explanation", None),
        ),
        principal="system",
        function=supply,
        formula="volts are distances between the points of the legs and the neutral",
        source="physics; judgement: 12 % off nominal, each reading 10 % beyond that",
        limits="120 to 480 V. Ground is only proven with low_z; on the load side a running motor "
        "can hold up an open leg.",
        example="ll=231.3,231.5,233.3 ln=117,206,115",
    ),
)
"""The figures of this subject."""
