"""Every figure of the trade, once: the only list there is.

The command line, the screen, the judgements of trees and the documentation all read it. Names
are known at once; a subject is imported when one of its figures is asked for, so that a command
which needs one figure does not pay for all of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from importlib import import_module

from engine.figure import Figure

SUBJECTS: Mapping[str, tuple[str, ...]] = {
    "supply": ("supply",),
    "voltage": ("open_leg", "resistive_load", "nameplate_voltage"),
    "unbalance": ("unbalance", "unbalance_effect"),
    "capacitors": ("capacitor", "capacitor_current", "capacitor_energy"),
    "windings": ("windings", "winding_balance", "winding_temperature"),
    "insulation": ("insulation",),
    "conductors": ("conductor", "ampacity", "voltage_drop"),
    "breakers": ("breaker_rating", "branch_circuit", "trip_time"),
    "joints": ("joint", "poles", "hot_joint"),
    "control_circuit": ("control_transformer", "coil", "series_string"),
    "compressor": ("locked_rotor", "running_amps"),
    "refrigerant": ("saturation", "superheat", "subcooling", "target_superheat"),
    "air": ("sensible_heat", "total_heat", "airflow_by_heat", "airflow_per_ton"),
    "condensate": ("trap", "drain", "condensate"),
}
"""Each module of this package that has ``FIGURES``, and their names, in the order listed."""


class Catalogue(Mapping[str, Figure]):
    """Figures by name, taken from the subjects they belong to."""

    def __init__(self, subjects: Mapping[str, Iterable[str]]) -> None:
        self._subjects: dict[str, str] = {}
        for subject, names in subjects.items():
            for name in names:
                if name in self._subjects:
                    raise ValueError(f"two figures are called {name}")
                self._subjects[name] = subject

    def __getitem__(self, name: str) -> Figure:
        return figures_of(self._subjects[name])[name]

    def __contains__(self, name: object) -> bool:
        return name in self._subjects

    def __iter__(self) -> Iterator[str]:
        return iter(self._subjects)

    def __len__(self) -> int:
        return len(self._subjects)


@cache
def figures_of(subject: str) -> Mapping[str, Figure]:
    """Return the figures of one module of this package by name; do not write to it."""
    figures: tuple[Figure, ...] = import_module(f"engine.trade.{subject}").FIGURES
    return {figure.name: figure for figure in figures}


FIGURES: Mapping[str, Figure] = Catalogue(SUBJECTS)
"""Every figure by name."""
