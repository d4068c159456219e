"""Whether settled rows show what a tree says of them: what can be seen, heard and smelt.

Owns `shows` and `lacks`. Signs are those of the faults that are not mended yet: what no
sign mentions is as on a sound unit.
"""

from __future__ import annotations

import numpy as np

from engine.unit.network import Flags
from engine.unit.settled import Settled, When
from engine.unit.showing import Does, Showing
from engine.unit.unit import Unit

_THERMOSTAT = "thermostat"
_RUNS_BY_CELLS = ("batteries", "both")


def lacks(unit: Unit, showing: Showing) -> str:
    """Return which part a statement is about that a unit lacks; empty where it has it."""
    netlist = unit.netlist
    match showing.does:
        case Does.SIGN:
            return ""
        case Does.LIT | Does.DARK:
            names = [one.name for one in netlist.relays]
            return "" if _THERMOSTAT in names else _THERMOSTAT
        case Does.TRIPS | Does.HOLDS:
            there = bool(_protections(unit, showing.subject))
        case Does.PULLS_IN | Does.STAYS_OUT | Does.CHATTERS:
            there = showing.subject in [one.name for one in netlist.relays]
        case _:
            there = showing.subject in [one.name for one in netlist.machines]
    return "" if there else showing.subject


def _protections(unit: Unit, subject: str) -> list[str]:
    """Return the protections that a name stands for: itself, or each of a fused part's."""
    names = [one.name for one in unit.netlist.protections]
    return [one for one in names if one == subject or one.startswith(f"{subject}.")]


def shows(settled: Settled, showing: Showing, when: When = When.RUNNING) -> Flags:
    """Return which rows show one thing, [rows]; False for a part the unit lacks."""
    unit = settled.unit
    if lacks(unit, showing):
        return np.zeros(settled.rows.size, dtype=bool)
    match showing.does:
        case Does.SIGN:
            return _signs(settled, showing)
        case Does.TRIPS:
            return _trips(settled, showing)
        case Does.HOLDS:
            return ~_trips(settled, showing)
        case Does.LIT | Does.DARK:
            return _lit(settled, when) ^ (showing.does is Does.DARK)
        case Does.TURNS | Does.STANDS:
            return settled.turns(showing.subject, when) ^ (showing.does is Does.STANDS)
        case Does.STARTS:
            return settled.starts(showing.subject)
        case Does.HUMS:
            return settled.hums(showing.subject)
        case Does.CHATTERS:
            return settled.chatters
        case _:
            out = showing.does is Does.STAYS_OUT
            return settled.pulled_in(showing.subject, when) ^ out


def _lit(settled: Settled, when: When) -> Flags:
    if settled.unit.nameplate.get("thermostat_power", ("",))[0] in _RUNS_BY_CELLS:
        return np.ones(settled.rows.size, dtype=bool)
    return settled.pulled_in(_THERMOSTAT, when)


def _trips(settled: Settled, showing: Showing) -> Flags:
    found = np.zeros(settled.rows.size, dtype=bool)
    for name in _protections(settled.unit, showing.subject):
        after = settled.tripped_after(name)
        found |= np.isfinite(after) & (after > showing.over) & (after <= showing.within)
    return found


def _signs(settled: Settled, showing: Showing) -> Flags:
    """Return the rows with a fault that has the sign, at the place, and is not mended."""
    place = showing.place
    found = np.zeros(settled.rows.size, dtype=bool)
    for at, faults in enumerate(settled.faults):
        for fault in faults:
            there = fault.signs.get(showing.subject)
            if there is None or fault.suspect in settled.condition.repaired:
                continue
            found[at] |= not place or there == place or there.startswith(f"{place}.")
    return found
