"""Services: where the volts come from, which leg is which, and where they are grounded.

Owns the five supplies a unit is fed from. Each leg is a source to the transformer's star or centre
point behind its own impedance; a delta is reckoned as the star that gives the same volts between
its legs. The neutral is bonded to ground in the panel; in a corner-grounded delta one leg is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from types import MappingProxyType

from engine.unit.netlist import EARTH, GROUND, OPEN, Draft

LEG_OHMS = (0.02, 0.03)
"""Ohms and reactance of transformer and service to a leg; judgement. The high leg has twice it."""
VOLTS = 0.01
"""Share by which the volts of a leg differ from the nominal; judgement, well inside range A of
ANSI C84.1 (5 %, from memory)."""


@dataclass(frozen=True, slots=True)
class Service:
    """A supply: each leg's volts to the centre and their angle."""

    legs: Mapping[str, tuple[float, float]]
    neutral: bool = True
    grounded: str = ""
    """The leg that is grounded in place of a neutral."""
    high: str = ""
    """The leg with 208 V to ground."""


_STAR = (0.0, -120.0, 120.0)


def _star(volts: float) -> Mapping[str, tuple[float, float]]:
    return {leg: (volts / sqrt(3), angle) for leg, angle in zip("ABC", _STAR, strict=True)}


SERVICES: Mapping[str, Service] = MappingProxyType(
    {
        "120/240 split phase": Service({"A": (120.0, 0.0), "B": (120.0, 180.0)}),
        "208Y/120": Service(_star(208.0)),
        "480Y/277": Service(_star(480.0)),
        "240/120 high-leg delta": Service(
            {"A": (120.0, 0.0), "B": (120.0 * sqrt(3), 90.0), "C": (120.0, 180.0)}, high="B"
        ),
        "corner-grounded delta": Service(_star(240.0), neutral=False, grounded="B"),
    }
)


def feed(
    draft: Draft,
    name: str,
    legs: Sequence[str],
    volts: float = 1.0,
    loads: Mapping[str, float] | None = None,
) -> None:
    """Put a service, its main and the bus of the panel into a circuit.

    ``legs`` are those of the unit, in the order L1, L2, L3; ``volts`` a share of the nominal;
    ``loads`` the amps that the rest of the building draws from a leg to the neutral. Raises
    KeyError for a service or a leg that there is not.
    """
    service = SERVICES[name]
    order = [*legs, *(leg for leg in service.legs if leg not in legs)]
    for at, leg in enumerate(order, 1):
        nominal, degrees = service.legs[leg]
        ohms, x = (2 * one if leg == service.high else one for one in LEG_OHMS)
        behind, terminal = f"service.{leg}", f"panel.bus.L{at}"
        source = f"service.winding.{leg}"
        draft.branch(source, behind, "service.N", ohms, x=x)
        draft.source(source, f"service.volts.{leg}", nominal * volts, degrees, VOLTS)
        draft.branch(f"service.leg.{leg}", behind, f"main.line.L{at}")
        draft.branch(f"main.pole.L{at}", f"main.line.L{at}", terminal, switches=("device:main",))
        if leg == service.grounded:
            draft.branch("service.bond", f"main.line.L{at}", EARTH)
        amps = (loads or {}).get(leg, 0.0)
        if amps:
            draft.branch(f"building.{leg}", terminal, EARTH, nominal / amps)
    draft.branch("ground.wire", GROUND, EARTH, 0.04)
    if service.neutral:
        draft.branch("service.neutral", "service.N", "panel.bus.N", 0.02)
        draft.branch("service.bond", "panel.bus.N", EARTH)
        draft.branch("service.electrode", "service.N", EARTH, 25.0)
    else:
        draft.node("service.N")
        draft.branch("service.electrode", "service.N", EARTH, OPEN)
