"""What a figure comes to: worked out from what was given, and put in words.

A figure answers in its own units; here an answer is brought into the units that the values were
given in, and every number is rounded to what counts.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import floor, isfinite, isinf, log10

from engine.figure import Figure, FigureError
from engine.guide.figure_given import Given
from engine.quantity import CELSIUS, FAHRENHEIT, Quantity, degrees_of, exact, fixed

COUNTED = "times"
"""The unit of plain numbers; it is not shown, the name of the output says what is counted."""


def worked_out(figure: Figure, given: Mapping[str, Given]) -> dict[str, object]:
    """Return every output by name, in the figure's own units.

    Raises FigureError with a sentence, never an arithmetic error.
    """
    try:
        answer = figure.answer(**{key: one.value for key, one in given.items()})
        sizes = [value for value in answer.values() if isinstance(value, float)]
        if not all(isfinite(size) for size in sizes):
            raise OverflowError
    except ArithmeticError:
        raise FigureError(f"{figure.name} can't be worked out from values of this size.") from None
    return answer


def in_units_given(
    figure: Figure,
    given: Mapping[str, Given],
    answer: Mapping[str, object],
    degrees: str = FAHRENHEIT,
) -> dict[str, object]:
    """Return an answer with each output that follows an input's unit brought into that unit."""
    shown = dict(answer)
    for output in figure.outputs:
        unit, value = unit_shown(figure, given, output.name, degrees), answer[output.name]
        if unit != output.unit and isinstance(value, int | float):
            shown[output.name] = float(Quantity.of(exact(value), output.unit).in_unit(unit))
    return shown


def unit_shown(
    figure: Figure, given: Mapping[str, Given], name: str, degrees: str = FAHRENHEIT
) -> str:
    """Return the unit that an output is shown in: its own, or that of the input it follows.

    A temperature that follows none is in °C where those are wanted.
    """
    output = figure.output(name)
    follows = given.get(output.as_given)
    if follows:
        return follows.unit
    wanted = degrees_of(output.kind, CELSIUS) if output.kind and degrees == CELSIUS else ""
    return wanted or output.unit


def value_in_words(value: object, unit: str) -> str:
    """Return one value of an answer as people read it."""
    if value is None:
        return "does not apply"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return "OL" if isinf(value) else _rounded(value, unit)
    if isinstance(value, list | tuple):
        return ", ".join(value_in_words(item, unit) for item in value)
    return str(value)


def unit_in_words(symbol: str) -> str:
    """Return the symbol of a unit; empty for plain numbers."""
    return "" if symbol == COUNTED else symbol


def given_in_words(one: Given) -> str:
    """Return what was understood of an input, to be echoed."""
    return one.shown.replace(f" {COUNTED}", "")


def _rounded(value: float, unit: str) -> str:
    """Return four digits that count, never fewer than stand before the point, and the unit."""
    size = floor(log10(abs(value))) if value else 0
    number = fixed(exact(value), max(0, 3 - size))
    number = number.rstrip("0").rstrip(".") if "." in number else number
    return f"{number} {unit_in_words(unit)}".rstrip()
