"""Every figure of the trade, once: the only list there is.

The command line, the screen, the judgements of trees and the documentation all read it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import chain
from types import MappingProxyType

from engine.figure import Figure
from engine.trade import (
    air,
    breakers,
    capacitors,
    compressor,
    condensate,
    conductors,
    control_circuit,
    insulation,
    joints,
    refrigerant,
    supply,
    unbalance,
    voltage,
    windings,
)

SUBJECTS = (
    supply,
    voltage,
    unbalance,
    capacitors,
    windings,
    insulation,
    conductors,
    breakers,
    joints,
    control_circuit,
    compressor,
    refrigerant,
    air,
    condensate,
)
"""The modules whose ``FIGURES`` make up the catalogue, in the order they are listed."""


def gathered(figures: Iterable[Figure]) -> Mapping[str, Figure]:
    """Return the figures by name, in order; raises ValueError for a name used twice."""
    by_name: dict[str, Figure] = {}
    for figure in figures:
        if figure.name in by_name:
            raise ValueError(f"two figures are called {figure.name}")
        by_name[figure.name] = figure
    return MappingProxyType(by_name)


FIGURES: Mapping[str, Figure] = gathered(
    chain.from_iterable(subject.FIGURES for subject in SUBJECTS)
)
"""Every figure by name."""
