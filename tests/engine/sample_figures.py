"""A few small figures and readings, for tests of the formula language that need no trade."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf

from engine.figure import Figure, FigureError, Input, Output
from engine.formula import Measured
from engine.quantity import Kind, literal


@dataclass(frozen=True, slots=True)
class Spread:
    """How far apart values are, of their mean."""

    percent: float | None
    word: str
    even: bool


def _spread(values: tuple[float, ...], kind: str = "voltage") -> Spread:
    if not any(values):
        raise FigureError("A spread of nothing but zeros means nothing.", "values")
    mean = sum(values) / len(values)
    percent = 100 * max(abs(value - mean) for value in values) / mean
    limit = 2 if kind == "voltage" else 10
    return Spread(percent, "high" if percent > limit else "good", percent == 0)


@dataclass(frozen=True, slots=True)
class Allowed:
    """Two volts, one above the other."""

    low: float
    high: float
    spare: float | None = None


def _allowed(rated: float) -> Allowed:
    return Allowed(0.9 * rated, 1.1 * rated)


@dataclass(frozen=True, slots=True)
class Loop:
    """Ohms of two windings one after the other."""

    ohms: float


def _loop(first: float, second: float) -> Loop:
    return Loop(first + second if inf not in (first, second) else inf)


@dataclass(frozen=True, slots=True)
class Leak:
    """Leakage amps."""

    amps: float


def _leak(volts: float, megohms: float) -> Leak:
    return Leak(volts / (megohms * 1e6))


_OHMS = Kind.RESISTANCE

SAMPLES: Mapping[str, Figure] = {
    figure.name: figure
    for figure in (
        Figure(
            "spread",
            "Spread",
            (
                Input(
                    "values",
                    Kind.VOLTAGE,
                    "V",
                    "Two readings or more.",
                    many=True,
                    instead=((Kind.CURRENT, "A"),),
                ),
                Input("kind", None, optional=True, words=("voltage", "current")),
            ),
            (
                Output("percent", Kind.PERCENT, "%"),
                Output("word", None, words=("good", "high")),
                Output("even", None, words=("yes", "no")),
            ),
            "percent",
            _spread,
            "greatest distance from the mean, of the mean",
            "physics",
        ),
        Figure(
            "allowed",
            "Allowed volts",
            (Input("rated", Kind.VOLTAGE, "V"),),
            (
                Output("low", Kind.VOLTAGE, "V"),
                Output("high", Kind.VOLTAGE, "V"),
                Output("spare", Kind.VOLTAGE, "V"),
            ),
            "low",
            _allowed,
            "90 and 110 %",
            "practice",
            rises=("low", "high"),
        ),
        Figure(
            "loop",
            "Ohms of a loop",
            tuple(Input(name, _OHMS, "ohm", special=("OL",)) for name in ("first", "second")),
            (Output("ohms", _OHMS, "ohm"),),
            "ohms",
            _loop,
            "first + second",
            "physics",
        ),
        Figure(
            "leak",
            "Leakage",
            (Input("volts", Kind.VOLTAGE, "V"), Input("megohms", _OHMS, "Mohm")),
            (Output("amps", Kind.CURRENT, "A"),),
            "amps",
            _leak,
            "volts / ohms",
            "physics",
        ),
    )
}


def sure(text: str) -> Measured:
    """Return a value without doubt."""
    return Measured.sure(literal(text))


def about(text: str, give: str) -> Measured:
    """Return a reading with so much doubt on either side."""
    value, half = literal(text), literal(give).value
    return Measured(value, value.value - half, value.value + half)
