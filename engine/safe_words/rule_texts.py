"""The rules R1 to R13 as sentences, for a refusal's explanation and for the author's guide."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

RULES: Mapping[str, str] = MappingProxyType(
    {
        "R1": "Never touch, move or ohm a conductor in a zone not proven dead; never treat a "
        "control circuit as low voltage before a reading has shown it; never bleed a capacitor in "
        "a zone not proven dead.",
        "R2": "Never call a zone proven unless every source is held off by your own lock on an "
        "isolating device, starting was tried, and the three readings were made at the listed "
        "points; an outcome of not dead proves nothing.",
        "R3": "Never touch, ohm or read capacitance while stored charge in reach has not been "
        "discharged and measured since the zone was last on or insulation-tested.",
        "R4": "Never put hands or bare tools in a box where another power zone in reach is neither "
        "proven dead nor behind a fixed barrier seen in place; never on service conductors.",
        "R5": "Never energise a zone with a found fault not re-checked clear; never what a device "
        "that tripped feeds without a clear check since; never after a second trip until a cause "
        "is found and mended.",
        "R6": "Never any reading but voltage or clamp current on what may be live; never a meter "
        "in series in a power circuit; never a reading in a box not opened in this walk.",
        "R7": "Never switch on or run with people or tools not clear, a guard or terminal cover "
        "off, an item on that forbids it, or, for service, any box open.",
        "R8": "Never verify or end with a jumper, bypass or lifted lead on, never end with a meter "
        "or gauges on; never a jumper across a fuse, breaker, overload, relief, flame, rollout or "
        "limit.",
        "R9": "Never end but in service, made safe, or withdrawn for a reason from the list.",
        "R10": "Never open a box, read or switch on before the look-over of this visit, or since "
        "being away.",
        "R11": "Never, after gas or smoke is reported, anything but leave, warn, call. After "
        "service damage, storm, unfit, injury, water or an unknown source: nothing but making "
        "safe and withdrawing.",
        "R12": "Never operate a device under somebody else's lock or tag, nor take it off, nor "
        "leave your own behind.",
        "R13": "Never open guards, put hands in, or open a refrigerant or gas line, unless the "
        "machine is locked out, tried and stopped.",
    }
)
"""Every rule by its id. The ids are used by refusals, proofs, tests and documents."""
