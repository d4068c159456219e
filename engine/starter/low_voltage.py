"""Volts on control wires: under 50 they are what they should be, beyond it is line voltage."""

from __future__ import annotations

from collections.abc import Iterable

from engine.reading import Function
from engine.starter.beginning import Measurement
from engine.vocabulary import Vocabulary

LOW_VOLTAGE = 50
"""Volts below which a control circuit counts as what it is meant to be."""


def on_control(measurement: Measurement, vocabulary: Vocabulary) -> bool:
    """Return whether volts are read on control wires, where line voltage is an answer, too."""
    return is_on_control(measurement.function, measurement.leads, vocabulary)


def is_on_control(function: Function, leads: Iterable[str], vocabulary: Vocabulary) -> bool:
    """Return the same of a function and the points of its leads."""
    zones = {vocabulary.points[lead].zone for lead in leads} - {""}
    return function in (Function.VOLTS, Function.DC_VOLTS) and zones == {"control"}
