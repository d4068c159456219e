"""What a set of supply readings is a case of: which system, and what is wrong with it.

Readings are held against the patterns of `supply_points`, whole ones first. A pattern with a leg
gone keeps its two good legs, so a lost leg is found by what the good ones still show, wherever
the lost one floats: at the middle of the others, on one of them, at the neutral, or at the stray
volts of an open wire.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from math import log, sqrt

from engine.trade.supply_points import (
    PAIRS,
    Fit,
    Pattern,
    best,
    fit,
    patterns,
    share,
)
from engine.trade.table import table

UNGROUNDED = "ungrounded or unproven"
UNKNOWN = "unknown"
NOTHING_VOLTS = 10.0
"""Below this no reading says anything of a power circuit."""


class Case(StrEnum):
    """What the readings are a case of."""

    NORMAL = "normal"
    COLLAPSES = "volts to ground collapse on a low-impedance meter"
    FLOATS = "legs are whole, volts to ground fit nothing"
    HELD_UP = "one leg is lower than the others on the load side"
    OPEN_NEUTRAL = "open neutral"
    UPSTREAM = "upstream line lost"
    LOST = "lost leg"
    EITHER_LOST = "lost leg, one of two that read the same"
    ONE_LEFT = "all legs but one lost"
    NOTHING = "no volts anywhere"
    FITS_NOTHING = "fits nothing"


@dataclass(frozen=True, slots=True)
class Readings:
    """What was read, in V; ``ll`` in the order of `PAIRS`."""

    ll: tuple[float, ...]
    ln: tuple[float, ...]
    low_z: tuple[float, ...] | None = None
    load_side: bool = False

    @property
    def legs(self) -> int:
        """How many legs there are."""
        return len(self.ln)

    def between(self, one: int, other: int) -> float:
        """Return the volts read between two legs."""
        pairs = PAIRS[self.legs]
        place = pairs.index((one, other)) if (one, other) in pairs else pairs.index((other, one))
        return self.ll[place]

    def collapses(self, leg: int) -> bool:
        """Return whether a leg's volts to ground fell on a low-impedance meter."""
        if self.low_z is None:
            return False
        return self.low_z[leg] < self.ln[leg] * (1 - share("low_impedance"))


@dataclass(frozen=True, slots=True)
class Found:
    """A case with the system it is of; ``legs`` are the lost ones, or the ones suspected."""

    case: Case
    system: str
    legs: tuple[int, ...] = ()
    high: int | None = None
    grounded: int | None = None
    fit: Fit | None = None


def judged(readings: Readings) -> Found:
    """Return what the readings are a case of."""
    if max(*readings.ll, *readings.ln) < NOTHING_VOLTS:
        return Found(Case.NOTHING, UNKNOWN)
    given = (*readings.ll, *readings.ln)
    whole = best(fit(one, given, one.readings()) for one in patterns(readings.legs))
    if whole:
        return _standing(readings, whole)
    looks = (
        (_open_neutral, _one_of_two)
        if readings.legs == 2
        else (
            _upstream,
            _legs_whole,
            _one_of_three,
            _one_left,
            _lost_by_legs_alone,
        )
    )
    found = (look(readings) for look in looks)
    return next((one for one in found if one), Found(Case.FITS_NOTHING, UNKNOWN))


# -- all legs there


def _standing(readings: Readings, whole: Fit) -> Found:
    """Judge readings that fit a whole supply."""
    pattern = whole.pattern
    if _neutral_adrift(readings, pattern):
        return Found(Case.OPEN_NEUTRAL, pattern.system, (), pattern.high, None, whole)
    if any(readings.collapses(leg) for leg in range(readings.legs)):
        return Found(Case.COLLAPSES, UNGROUNDED)
    held_up = _held_up(readings, pattern) if readings.load_side and readings.legs == 3 else ()
    case = Case.HELD_UP if held_up else Case.NORMAL
    return Found(case, pattern.system, held_up, pattern.high, pattern.grounded, whole)


def _neutral_adrift(readings: Readings, pattern: Pattern) -> bool:
    """Return whether a neutral that belongs at the middle of two legs has left it along them."""
    if pattern.shape not in ("midpoint", "high leg"):
        return False
    ends = [leg for leg in range(readings.legs) if leg != pattern.high]
    if len(ends) != 2:
        return False
    between = readings.between(*ends)
    one, other = (readings.ln[leg] for leg in ends)
    off = share("neutral_shift") * between
    return abs(one - other) > off and abs(one + other - between) <= off


def _held_up(readings: Readings, pattern: Pattern) -> tuple[int, ...]:
    """Return the leg that a running motor may be holding up: lower to both others and to ground."""
    margin = share("held_up")
    for leg, (one, other) in enumerate(((1, 2), (2, 0), (0, 1))):
        if leg == pattern.grounded:
            continue
        sound = readings.between(one, other)
        to_others = max(readings.between(leg, one), readings.between(leg, other))
        to_neutral = readings.ln[leg] / pattern.to_neutral(leg)
        best_neutral = max(
            readings.ln[far] / pattern.to_neutral(far)
            for far in (one, other)
            if far != pattern.grounded
        )
        if to_others < sound * (1 - margin / 2) and to_neutral < best_neutral * (1 - margin):
            return (leg,)
    return ()


def _ratio(volts: float, nominal: float) -> float:
    """Return how far volts are from a nominal, up and down alike."""
    return abs(log(max(volts, 1.0) / nominal))


def _nominal(volts: float) -> float | None:
    """Return the nominal of the known systems nearest to volts between legs; None if far off."""
    nominals = {float(row["volts"]) for row in table("supply_systems")["rows"]}
    nearest = min(nominals, key=lambda nominal: _ratio(volts, nominal))
    return nearest if abs(volts / nearest - 1) <= share("nominal") else None


def _open_neutral(readings: Readings) -> Found | None:
    """Find a neutral that has left the middle of two whole legs, and lies between them still."""
    between, (one, other) = readings.ll[0], readings.ln
    nominal = _nominal(between)
    if nominal is None or abs(one + other - between) > share("neutral_shift") * between:
        return None
    systems = {
        pattern.volts: pattern.system
        for pattern in patterns(2)
        if pattern.shape in ("midpoint", "wye")
    }
    return Found(Case.OPEN_NEUTRAL, systems[nominal]) if nominal in systems else None


def _legs_whole(readings: Readings) -> Found | None:
    """Judge three whole legs whose volts to ground fit no system."""
    mean = sum(readings.ll) / 3
    nominal = _nominal(mean)
    if nominal is None or any(abs(ll / mean - 1) > share("reading") for ll in readings.ll):
        return None
    for pattern in patterns(3):
        if pattern.shape == "high leg" and pattern.volts == nominal:
            if _on_the_side(readings, pattern):
                return Found(Case.OPEN_NEUTRAL, pattern.system, (), pattern.high)
        elif pattern.shape == "wye" and pattern.volts == nominal == 208:
            # Between legs, 208 V comes from a wye; 240 and 480 V can be an ungrounded delta.
            grounded = min(readings.ln) < share("zero") * mean
            collapses = any(readings.collapses(leg) for leg in range(3))
            if not grounded and not collapses and _fits_together(readings, mean):
                return Found(Case.OPEN_NEUTRAL, pattern.system)
    return Found(Case.FLOATS, UNGROUNDED)


def _on_the_side(readings: Readings, pattern: Pattern) -> bool:
    """Return whether the neutral lies on the side that it is tapped from, off its middle."""
    if pattern.high is None or not _neutral_adrift(readings, pattern):
        return False
    one, other = (readings.ln[leg] for leg in range(3) if leg != pattern.high)
    between = one + other
    expected = sqrt(0.75 * between**2 + (one - other) ** 2 / 4)
    return abs(readings.ln[pattern.high] - expected) <= share("zero") * between


def _fits_together(readings: Readings, side: float) -> bool:
    """Return whether one point can have these volts to the corners of a triangle."""
    one, two, three = readings.ln
    along = (one**2 - two**2 + side**2) / (2 * side)
    across = sqrt(max(0.0, one**2 - along**2))
    corner = complex(side / 2, side * sqrt(3) / 2)
    nearest = min(abs(abs(complex(along, sign * across) - corner) - three) for sign in (1, -1))
    return nearest <= share("reading") * side


# -- a leg gone


def _upstream(readings: Readings) -> Found | None:
    """Find one primary line of a delta-wye transformer gone: one leg whole, two joined at half."""
    given = (*readings.ll, *readings.ln)
    fits = []
    for pattern in patterns(3):
        if pattern.shape != "wye":
            continue
        for whole in range(3):
            half = -pattern.legs[whole] / 2 + 1.5 * pattern.neutral
            legs = tuple(pattern.legs[leg] if leg == whole else half for leg in range(3))
            left = Pattern(pattern.system, pattern.volts, legs, pattern.neutral, "upstream")
            fits.append((fit(left, given, left.readings()), whole))
    closest = best(one for one, _ in fits)
    if closest is None:
        return None
    whole = next(leg for one, leg in fits if one is closest)
    gone = tuple(leg for leg in range(3) if leg != whole)
    return Found(Case.UPSTREAM, closest.pattern.system, gone, fit=closest)


def _one_of_three(readings: Readings) -> Found | None:
    """Find the lost leg of three by the pair of legs that is still whole."""
    fits = {leg: best(_pair_fits(readings, leg)) for leg in range(3)}
    lost = {leg: one for leg, one in fits.items() if one and _can_float(readings, leg, one)}
    if not lost:
        return None
    leg = min(lost, key=lambda leg: lost[leg].misfit)
    one = lost[leg]
    twins = [
        other
        for other in lost
        if other != leg and readings.between(leg, other) < share("reading") * one.pattern.volts
    ]
    if twins:
        return _either(readings, one, lost[twins[0]], tuple(sorted((leg, twins[0]))))
    system, high, grounded = one.pattern.system, one.pattern.high, one.pattern.grounded
    if any(readings.collapses(good) for good in range(3) if good != leg):
        system, high, grounded = UNGROUNDED, None, None
    return Found(Case.LOST, system, (leg,), high, grounded, one)


def _can_float(readings: Readings, leg: int, one: Fit) -> bool:
    """Return whether a leg reads nothing above the volts that its system has between legs."""
    most = one.scale * one.pattern.volts * (1 + share("reading"))
    to_others = (readings.between(leg, other) for other in range(3) if other != leg)
    return max(readings.ln[leg], *to_others) <= most


def _pair_fits(readings: Readings, lost: int) -> Iterator[Fit | None]:
    one, other = (leg for leg in range(3) if leg != lost)
    given = (readings.between(one, other), readings.ln[one], readings.ln[other])
    for pattern in patterns(3):
        expected = (
            pattern.between(one, other),
            pattern.to_neutral(one),
            pattern.to_neutral(other),
        )
        yield fit(pattern, given, expected)


def _either(readings: Readings, one: Fit, other: Fit, legs: tuple[int, ...]) -> Found:
    """Judge two legs at the same potential, of which one is lost: volts can't tell which."""
    first, second = one.pattern, other.pattern
    if any(readings.collapses(leg) for leg in range(3)) or first.system != second.system:
        return Found(Case.EITHER_LOST, UNGROUNDED, legs)
    return Found(
        Case.EITHER_LOST,
        first.system,
        legs,
        first.high if first.high == second.high else None,
        first.grounded if first.grounded == second.grounded else None,
        one,
    )


def _lost_by_legs_alone(readings: Readings) -> Found | None:
    """Find a lost leg where volts to ground tell nothing: it lies between the two others."""
    for leg, (one, other) in enumerate(((1, 2), (2, 0), (0, 1))):
        sound = readings.between(one, other)
        if _nominal(sound) is None:
            continue
        near, far = sorted((readings.between(leg, one), readings.between(leg, other)))
        if abs(near + far - sound) > share("reading") * sound:
            continue
        if near > share("reading") * sound:
            return Found(Case.LOST, UNGROUNDED, (leg,))
        twin = one if readings.between(leg, one) == near else other
        return Found(Case.EITHER_LOST, UNGROUNDED, tuple(sorted((leg, twin))))
    return None


def _by_one_leg(volts: float) -> tuple[str, bool] | None:
    """Return the system that one leg to ground tells, and whether it is its high leg.

    120 V is a leg of several systems, and tells none of them.
    """
    known: dict[int, set[tuple[str, bool]]] = {}
    for pattern in patterns(3):
        for leg in range(3):
            if leg != pattern.grounded:
                told = known.setdefault(round(pattern.to_neutral(leg)), set())
                told.add((pattern.system, leg == pattern.high))
    nearest = min(known, key=lambda nominal: _ratio(volts, nominal))
    if abs(volts / nearest - 1) > share("nominal"):
        return None
    return known[nearest].pop() if len(known[nearest]) == 1 else (UNKNOWN, False)


def _one_left(readings: Readings) -> Found | None:
    """Find one live leg of three, with the two others somewhere between it and the neutral."""
    live = max(range(3), key=lambda leg: readings.ln[leg])
    volts = readings.ln[live]
    told = _by_one_leg(volts)
    gone = tuple(leg for leg in range(3) if leg != live)
    off = share("reading") * volts
    in_line = all(
        abs(readings.between(live, leg) - (volts - readings.ln[leg])) <= off for leg in gone
    )
    apart = abs(readings.between(*gone) - abs(readings.ln[gone[0]] - readings.ln[gone[1]]))
    if told is None or not in_line or apart > off:
        return None
    same = all(readings.ln[leg] > volts - off for leg in gone)
    if same:
        return Found(Case.ONE_LEFT, told[0], (0, 1, 2))
    return Found(Case.ONE_LEFT, told[0], gone, live if told[1] else None)


def _one_of_two(readings: Readings) -> Found | None:
    """Find the lost leg of two by what the other still has to ground."""
    between = readings.ll[0]
    good, lost = (0, 1) if readings.ln[0] >= readings.ln[1] else (1, 0)
    volts, other = readings.ln[good], readings.ln[lost]
    told = _by_one_leg(volts)
    slack = share("reading") * volts
    if told is None or not volts - other - slack <= between <= volts + other + slack:
        return None
    system, is_high = told
    if other > volts - slack and between < slack:
        return Found(Case.EITHER_LOST, system, (0, 1))
    if other > 0.85 * volts and between > 0.25 * volts:
        return None
    if readings.collapses(good):
        return Found(Case.LOST, UNGROUNDED, (lost,))
    return Found(Case.LOST, system, (lost,), good if is_high else None)
