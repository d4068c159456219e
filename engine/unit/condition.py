"""What people have done to the unit: the circuit condition that a reading is taken in.

Owns `Condition`: devices open, leads off, jumpers, a contactor pressed in, what the thermostat
calls for, what has been repaired. Whether an act was allowed is not asked here.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Condition:
    """One circuit condition; equal ones settle alike."""

    open: frozenset[str] = frozenset()
    """Devices that are open, by their names in the layout or the unit file."""
    calls: frozenset[str] = frozenset()
    """Thermostat terminals that are called: Y, G, W."""
    leads_off: frozenset[str] = frozenset()
    """Points whose lead is off; the meter stays on the part."""
    jumpers: frozenset[tuple[str, str]] = frozenset()
    """Two points joined by a jumper."""
    pressed: frozenset[str] = frozenset()
    """Contactors held in by hand."""
    repaired: frozenset[str] = frozenset()
    """Suspects that have been mended: a fault with one of these is gone."""
    boxes_open: frozenset[str] = frozenset()
    """Kept with the condition; nothing electrical depends on a cover."""
