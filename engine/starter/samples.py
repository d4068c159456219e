"""One unit to try a begun tree on: nameplate values, and readings inside and outside a window.

The values are taken from what the vocabulary allows; they are there for the cases to be walked,
and say nothing of any real unit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from engine.formula import Formula, FormulaError, Measured, Value, evaluate, parse
from engine.quantity import Kind, Quantity, literal, words
from engine.starter.beginning import Measurement
from engine.starter.low_voltage import LOW_VOLTAGE, on_control
from engine.trade.catalogue import FIGURES
from engine.vocabulary import Field, Vocabulary

MARKING = "208-230"
PHASES = "phases"
FITTED = "fitted"


def formula(text: str) -> Formula:
    """Return an end of a window as a formula; raises FormulaError."""
    return parse(text, FIGURES)


def names_in(measurement: Measurement) -> tuple[str, ...]:
    """Return the nameplate values that a window rests on."""
    ends = [formula(one) for one in (measurement.at_least, measurement.at_most) if one]
    return tuple(sorted({name for end in ends for name in end.names()}))


def worked_out(text: str, vocabulary: Vocabulary) -> Quantity:
    """Return an end of a window for the unit of the cases; raises FormulaError."""
    end = formula(text)
    values = {name: _value(vocabulary.fields[name]) for name in end.names()}
    found = evaluate(end, values, FIGURES)
    if not isinstance(found, Measured):
        raise FormulaError(f"'{text}' is not one value.")
    return found.quantity


def nameplate(names: Iterator[str] | tuple[str, ...], vocabulary: Vocabulary) -> Mapping[str, str]:
    """Return what the unit of the cases has on its nameplate for these questions."""
    return {name: text_of(vocabulary.fields[name]) for name in names}


def text_of(field: Field) -> str:
    """Return an answer to a nameplate question, within what is usual."""
    if field.volts_marking:
        return MARKING
    if field.words:
        return field.words[0]
    if field.default:
        return field.default
    low, high = field.usual or (field.low, field.high)
    if low is None or high is None:
        return f"10 {field.unit}"
    return words(Quantity((low.value + high.value) / 2, low.kind), field.unit)


def _value(field: Field) -> Value:
    if field.volts_marking:
        return tuple(Measured.sure(literal(f"{end} V")) for end in MARKING.split("-"))
    if field.kind is None:
        return text_of(field)
    return Measured.sure(literal(text_of(field)))


# --- readings -------------------------------------------------------------------------------------

_QUARTER = Fraction(1, 4)


def sound(measurement: Measurement, vocabulary: Vocabulary) -> str:
    """Return a reading well inside the window."""
    low, high = _ends(measurement, vocabulary)
    if low and high:
        return words(Quantity((low.value + high.value) / 2, low.kind))
    if low:
        return words(Quantity(low.value * 2, low.kind))
    assert high is not None
    return words(Quantity(high.value * _QUARTER, high.kind))


def outside(measurement: Measurement, vocabulary: Vocabulary) -> tuple[str, ...]:
    """Return a reading beyond each end of the window that there is, the lower one first."""
    low, high = _ends(measurement, vocabulary)
    control = on_control(measurement, vocabulary)
    found = []
    if low:
        found.append(words(Quantity(low.value * _QUARTER, low.kind)))
    if high:
        beyond = (high.value + LOW_VOLTAGE) / 2 if control else high.value * 2
        above = Quantity(beyond, high.kind)
        found.append("OL" if high.kind is Kind.RESISTANCE else words(above))
    return tuple(found)


def _ends(
    measurement: Measurement, vocabulary: Vocabulary
) -> tuple[Quantity | None, Quantity | None]:
    ends = (measurement.at_least, measurement.at_most)
    low, high = (worked_out(one, vocabulary) if one else None for one in ends)
    return low, high
