"""What a technician is told about a set of supply readings: what it is, why, and what proves it.

Sentences tell what was read and what to read next. None of them calls a conductor dead or a
supply safe.
"""

from __future__ import annotations

from collections.abc import Iterable

from engine.trade.supply_cases import NOTHING_VOLTS, UNGROUNDED, UNKNOWN, Case, Found, Readings
from engine.trade.supply_points import LEGS
from engine.trade.table import table


def explanation(readings: Readings, found: Found) -> str:
    """Return why the readings are the case they are, in whole sentences."""
    words = {
        Case.NORMAL: _normal,
        Case.COLLAPSES: _collapses,
        Case.FLOATS: _floats,
        Case.HELD_UP: _held_up,
        Case.OPEN_NEUTRAL: _open_neutral,
        Case.UPSTREAM: _upstream,
        Case.LOST: _lost,
        Case.EITHER_LOST: _either_lost,
        Case.ONE_LEFT: _one_left,
        Case.NOTHING: _nothing,
        Case.FITS_NOTHING: _fits_nothing,
    }
    return " ".join(sentence for sentence in words[found.case](readings, found) if sentence)


def _volts(values: Iterable[float]) -> str:
    """Return volts as a technician says them: ``208, 209 and 207 V``."""
    said = [f"{value:.4g}" for value in values]
    return f"{_and(said)} V"


def _and(words: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1])))


def _legs(legs: Iterable[int]) -> str:
    return _and([LEGS[leg] for leg in legs])


def _read(readings: Readings) -> str:
    return (
        f"{_volts(readings.ll)} between legs and {_volts(readings.ln)} from "
        f"{_legs(range(readings.legs))} to neutral or ground"
    )


# -- whole supplies


def _normal(readings: Readings, found: Found) -> list[str]:
    return [
        f"{_read(readings)}: the pattern of {found.system}.",
        _shape(readings, found),
        _proof(readings, found),
        _range(readings, found),
        "A running motor can hold up an open leg on the load side: compare the amps of the legs."
        if readings.load_side
        else "",
    ]


def _shape(readings: Readings, found: Found) -> str:
    if found.high is not None:
        return (
            f"{LEGS[found.high]} is the high leg, {readings.ln[found.high]:.4g} V to neutral: "
            "120 V loads and controls never go on it, where they would take three times their "
            "power."
        )
    if found.grounded is not None:
        return (
            f"{LEGS[found.grounded]} is grounded on purpose, or an ungrounded delta has a fault "
            "to ground on it, which reads the same: find the bonding connection. Treat it as live "
            "like the others."
            + (
                " With two legs only, a neutral that has gone open and lies on one of them reads "
                "the same too."
                if readings.legs == 2
                else ""
            )
        )
    return ""


def _proof(readings: Readings, found: Found) -> str:
    """Say what the readings to neutral rest on."""
    if found.grounded is not None:
        return ""
    if readings.low_z is not None:
        return (
            f"A low-impedance meter still reads {_volts(readings.low_z)}: the point they are read "
            "to is firm."
        )
    if found.fit is not None and found.fit.pattern.shape == "wye":
        return (
            "An ungrounded delta can read the same on an ordinary meter; a low-impedance reading "
            "to ground proves the neutral."
        )
    return ""


def _range(readings: Readings, found: Found) -> str:
    """Say where the volts between legs lie in the ranges of ANSI C84.1."""
    if found.fit is None:
        return ""
    nominal = found.fit.pattern.volts
    rows = {row[0]: row[1:] for row in table("voltage_ranges")["rows"]}
    if nominal not in rows:
        return ""
    a_low, a_high, b_low, b_high, a_use, b_use = rows[nominal]
    if readings.load_side:
        a_low, b_low = a_use, b_use
    lowest, highest = min(readings.ll), max(readings.ll)
    if a_low <= lowest and highest <= a_high:
        return f"Between legs that is within range A of ANSI C84.1, {a_low:g} to {a_high:g} V."
    if b_low <= lowest and highest <= b_high:
        return (
            f"Between legs that is outside range A of ANSI C84.1 ({a_low:g} to {a_high:g} V), "
            "within range B: it should not last."
        )
    return (
        f"Between legs that is outside range B of ANSI C84.1 ({b_low:g} to {b_high:g} V): the "
        "supply wants correcting before motors are judged on it."
    )


def _held_up(readings: Readings, found: Found) -> list[str]:
    leg = LEGS[found.legs[0]]
    return [
        f"{_read(readings)}: nearly the pattern of {found.system}, but {leg} is lower than the "
        "others to every point.",
        f"A running motor that has lost {leg} makes most of its volts itself; a bad joint in {leg} "
        "reads the same.",
        "Compare the amps of the legs (an open one has none), or read again on the load side "
        "just after the contactor has closed.",
    ]


def _collapses(readings: Readings, _found: Found) -> list[str]:
    assert readings.low_z is not None
    fallen = [leg for leg in range(readings.legs) if readings.collapses(leg)]
    return [
        f"{_read(readings)}, but a low-impedance meter reads {_volts(readings.low_z)} to ground: "
        f"{_legs(fallen)} {'fall' if fallen[1:] else 'falls'} by more than a tenth.",
        "Volts that fall under a small load come through stray capacitance, not from a grounded "
        "neutral: an ungrounded delta, or a neutral that is not there.",
        "Whether a system is grounded shows at its transformer and bonding, not at the legs.",
    ]


def _floats(readings: Readings, found: Found) -> list[str]:
    return [
        f"{_read(readings)}: the legs are whole between each other, but what they read to ground "
        "fits no grounded system.",
        "An ungrounded delta floats like this, and so does a wye whose neutral or ground is open; "
        "with one leg near 0 V and the others near the volts between legs, that leg has a fault "
        "to ground.",
        "A low-impedance reading to ground tells stray volts from real ones.",
    ]


def _open_neutral(readings: Readings, found: Found) -> list[str]:
    on_high = f" {LEGS[found.high]} is the high leg." if found.high is not None else ""
    return [
        f"{_read(readings)}: between legs all is there, but the neutral has drifted to where the "
        f"loads pull it. An open or loose neutral of {found.system}.{on_high}",
        "120 V loads on the low side are starved and those on the high side are overdriven, and "
        "it shifts with every load that starts: switch off and have the neutral found.",
    ]


# -- legs gone


def _upstream(readings: Readings, found: Found) -> list[str]:
    whole = next(leg for leg in range(3) if leg not in found.legs)
    return [
        f"{_read(readings)}: {LEGS[whole]} has its full volts to neutral, {_legs(found.legs)} have "
        "half and nothing between them.",
        f"That is a {found.system} whose transformer has lost one line on its primary side: look "
        "upstream, with the utility; nothing in the unit does this.",
    ]


def _where(readings: Readings) -> str:
    if readings.load_side:
        return (
            "Look for the open pole, fuse or lug ahead of these points: from line to load of each "
            "pole, closed and loaded, an open one shows volts."
        )
    return "Look ahead of these points: fuse, breaker pole, lug or the utility's line."


def _lost(readings: Readings, found: Found) -> list[str]:
    lost = found.legs[0]
    good = [leg for leg in range(readings.legs) if leg != lost]
    return [
        f"{_read(readings)}: {_legs(good)} still {'read' if good[1:] else 'reads'} as in "
        f"{_belongs(found)}, {LEGS[lost]} is lost.",
        _stray(readings, lost),
        _where(readings),
        "Its conductor can be live through any winding or lamp: never take a lost leg for a dead "
        "one.",
    ]


def _belongs(found: Found) -> str:
    if found.system == UNKNOWN:
        return "120/240 single-phase, 208Y/120 or a high-leg delta alike"
    if found.system == UNGROUNDED:
        return "a supply whose ground is not proven"
    return f"a {found.system} supply"


def _stray(readings: Readings, lost: int) -> str:
    """Say where the volts on a lost leg come from."""
    volts = readings.ln[lost]
    if volts < NOTHING_VOLTS:
        return ""
    if readings.collapses(lost):
        return (
            f"Its {volts:.4g} V fall on a low-impedance meter: stray volts of a wire that nothing "
            "feeds."
        )
    if readings.low_z is not None:
        return f"Its {volts:.4g} V stand on a low-impedance meter: they come through a winding."
    return (
        f"Its {volts:.4g} V come from the other legs through a winding, or are stray; a running "
        "motor makes even more."
    )


def _either_lost(readings: Readings, found: Found) -> list[str]:
    one, other = (LEGS[leg] for leg in found.legs)
    return [
        f"{_read(readings)}: {one} and {other} are at the same potential, so one of the two is "
        "lost and gets its volts from the other through a single winding.",
        "Volts between them and to ground can't tell which: read each pole and fuse from line to "
        "load, or the amps; the open one shows volts across it and no amps.",
    ]


def _one_left(readings: Readings, found: Found) -> list[str]:
    if len(found.legs) == readings.legs:
        return [
            f"{_read(readings)}: all legs are at one potential, so only one of them is fed and "
            "lends its volts to the others through the windings.",
            "Read each pole and fuse from line to load to find which.",
        ]
    live = next(leg for leg in range(readings.legs) if leg not in found.legs)
    return [
        f"{_read(readings)}: only {LEGS[live]} is still fed; {_legs(found.legs)} are lost, and "
        "what they read comes through windings or is stray.",
        _where(readings),
    ]


# -- nothing to go by


def _nothing(readings: Readings, _found: Found) -> list[str]:
    side = "The device ahead may be open, or" if readings.load_side else "The supply may be off, or"
    return [
        f"{_read(readings)}: nothing that names a supply.",
        f"{side} the meter, its leads or its setting may be at fault: 0 V proves nothing by "
        "itself. Prove the meter on a known live source before and after.",
    ]


def _fits_nothing(readings: Readings, _found: Found) -> list[str]:
    return [
        f"{_read(readings)}: they fit no supply known here, whole or with a leg or the neutral "
        "gone.",
        "Read all of them again in one go, same meter, same points; to ground with a "
        "low-impedance meter, which lets stray volts fall away.",
    ]
