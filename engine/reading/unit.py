"""Which unit a number is in: from what stands behind it, or from what is plausible.

A unit that can't be taken is a ValueError with a whole sentence; `typed` puts the line and the
caret to it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from engine.quantity import Kind, spelled, unit_key
from engine.reading.function import Function
from engine.reading.refusal import quoted
from engine.reading.value import Asked

_PARTS = re.compile(
    r"(?P<before>ac|dc)?(?P<unit>.*?)(?P<behind>(?:ac|dc|rms|peak|pk|~)*)",
    re.ASCII | re.IGNORECASE | re.DOTALL,
)
_CURRENTS = re.compile(r"ac|dc|rms|peak|pk|~")

_DEGREES = ("deg", "degree", "degrees")
_TEMPERATURES = (Kind.TEMPERATURE, Kind.TEMPERATURE_DIFFERENCE)
_ELECTRICAL = (Kind.VOLTAGE, Kind.CURRENT)
_PREFIXES = ("k", "m", "g", "u", "n")

_FARADS = "No capacitor here has whole farads: type uF (microfarads)."
_ELSEWHERE = {
    (Kind.CAPACITANCE, "f"): _FARADS,
    (Kind.CAPACITANCE, "farad"): _FARADS,
    (Kind.CAPACITANCE, "farads"): _FARADS,
    (Kind.PRESSURE, "psia"): "psia counts from a vacuum: type what the gauge shows, in psi.",
    (Kind.PRESSURE, "inhg"): "Type a vacuum in psi with a minus: 2 in Hg is about -1 psi.",
}

_SLIPS = (
    (r"e[+-]?[0-9].*", "A meter shows no exponent: write the number out, with its unit."),
    (r"o+(?:[0-9,].*)?", "This is the letter O, not a zero."),
    (r"(?:[kmgu]|ohm)[0-9].*", "The unit stands behind the last digit: 1.2k, not 1k2."),
    (r"[-+*/^x×:&=].*", "A reading is one number and its unit; a space parts two readings."),
)
"""What is found in place of a unit, as `unit_key` leaves it in lower case, and what to say."""


def decided(phrase: str, number: Fraction, step: Fraction, asked: Asked) -> tuple[str, ...]:
    """Return the unit of a number; several where the technician has to say which.

    ``phrase`` is what stands behind the number, ``step`` one step of its last digit. Raises
    ValueError with a sentence for a unit that can't be taken.
    """
    typed = named(phrase, asked) if phrase else ()
    possible = typed or asked.prefixes or (asked.symbol,)
    if len(possible) == 1:
        return possible
    plausible = [unit for unit in possible if asked.is_plausible(number, step, unit)]
    if typed:
        return _by_case(unit_key(phrase), possible, plausible)
    if len(plausible) == 1 and plausible[0] not in asked.setting.said_only:
        return (plausible[0],)
    return tuple(plausible) if len(plausible) > 1 else possible


def _by_case(key: str, possible: tuple[str, ...], plausible: list[str]) -> tuple[str, ...]:
    """Return the unit that a letter m stands for, where it can stand for two; else both.

    A capital M that is not part of a word all in capitals is mega, unless only milli is
    plausible: then the shift key may have slipped. A small m is taken at its word only where
    mega is not plausible. ``mF`` is a millifarad, and what much of the trade writes for a
    microfarad: only what is plausible can tell.
    """
    literal = ""
    if "Mohm" in possible and (len(key) == 1 or not key.isupper()):
        literal = "Mohm" if key.startswith("M") else "mohm"
    if literal == "Mohm" and plausible != ["mohm"]:
        return (literal,)
    if len(plausible) == 1 and literal in ("", plausible[0]):
        return (plausible[0],)
    return possible


def named(phrase: str, asked: Asked) -> tuple[str, ...]:
    """Return the units, small to large, that a phrase may mean; none if it leaves the unit open.

    ``208 AC`` and ``72°`` leave it open. Raises ValueError with a sentence for a unit that does
    not measure what is asked, and for AC where DC is asked or the other way round: a meter on
    the wrong one shows next to nothing on a live circuit, which is worse than imprecise.
    """
    unit, currents = _split(phrase)
    if currents and asked.kind in _ELECTRICAL:
        _check_current(phrase, currents, asked)
        if not unit:
            return ()
    elif currents or not unit:
        raise ValueError(_not_a_unit(phrase, unit, asked))
    if unit in _DEGREES and asked.kind in _TEMPERATURES:
        return ()
    meant = [one for one in spelled(unit) if one.kind is asked.kind]
    if not meant:
        raise ValueError(_not_a_unit(phrase, unit, asked))
    return tuple(one.symbol for one in sorted(meant, key=lambda one: one.factor))


def _split(phrase: str) -> tuple[str, list[str]]:
    """Return a phrase's unit in lower case, and what it says of the current (``ac``, ``rms``)."""
    parts = _PARTS.fullmatch(unit_key(phrase))
    assert parts, "every part of the pattern may be empty, so it matches any text"
    around = f"{parts['before'] or ''}{parts['behind']}"
    return parts["unit"].lower(), _CURRENTS.findall(around.lower())


def _check_current(phrase: str, currents: Sequence[str], asked: Asked) -> None:
    """Raise ValueError where the meter was on AC for a DC reading, and so on."""
    wanted = asked.setting.current
    found = "DC" if "dc" in currents else "AC"
    if wanted and found != wanted:
        raise ValueError(
            f"{quoted(phrase)} is {found} and this is read on {wanted}:"
            f" set the meter to {wanted} and read again."
        )
    is_peak = "peak" in currents or "pk" in currents
    if is_peak and asked.function and asked.function is not Function.PEAK_CLAMP_AMPS:
        raise ValueError("This is read without the peak hold: turn it off and read again.")


def _not_a_unit(phrase: str, unit: str, asked: Asked) -> str:
    """Return the sentence for a phrase that does not measure what is asked."""
    if known := _ELSEWHERE.get((asked.kind, unit)):
        return known
    for pattern, sentence in _SLIPS:
        if re.fullmatch(pattern, unit_key(phrase).lower(), re.DOTALL):
            return sentence
    wanted = f"{asked.kind} is asked here, in {asked.symbol}."
    # A prefix alone (5m) belongs to several kinds and measures none of them.
    measures = [one.kind for one in spelled(unit) if unit not in _PREFIXES]
    if measures and measures[0] is not asked.kind:
        return f"{quoted(phrase)} measures {measures[0]}; {wanted}"
    return f"{quoted(phrase)} is not a unit for this; {wanted}"
