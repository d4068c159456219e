"""Parts of the control circuit, and the contactor and relays that it moves."""

from __future__ import annotations

from engine.quantity import Kind
from engine.unit.netlist import OPEN, Draft, Pair, Protection, Relay
from engine.unit.part import BESIDE, PartKind, Placed, Setting

FUSE_K = 30.0
CABLE_OHMS = 6.5 / 1000
"""Ohms a foot of 18 AWG copper, from memory (NEC Chapter 9 Table 8: 6.5 to 8 by stranding)."""
COIL = 0.05
"""Share by which a coil as made differs; judgement."""
NO_LOAD = 240 / 8.8
"""Volts of a 24 V control transformer's secondary without load."""
DISPLAY_OHMS = 1200.0
"""What a thermostat's electronics draw from R to C."""

_CONTACTOR = (19.0, 12.0, (10.0, 14.0), (30.0, 82.0), 10.0)
_RELAY = (18.0, 10.0, (65.0, 75.0), (70.0, 170.0), 60.0)
_THERMOSTAT = (16.0, 2.0, (DISPLAY_OHMS, 0.0), (DISPLAY_OHMS, 0.0), DISPLAY_OHMS)
"""Pull-in and drop-out volts, impedance before and after it pulls in, ohms for direct current; for
24 V. A thermostat holds its contacts on a charge of its own. Judgement, typical of the class."""

Pull = tuple[float, float, tuple[float, float], tuple[float, float], float]


def _coil(draft: Draft, name: str, branch: str, ends: tuple[str, str], pull: Pull) -> None:
    """Put a coil and its relay into a circuit."""
    pull_in, drop_out, inrush, sealed, dc = pull
    draft.branch(branch, *ends, dc=dc, tolerance=COIL)
    draft.branch(f"{branch}.short", *ends, OPEN)

    def pair(word: str, of: tuple[float, float]) -> tuple[str, str]:
        return (
            draft.param(f"{branch} {word} ohms", of[0], COIL),
            draft.param(f"{branch} {word} x", of[1], COIL),
        )

    draft.relays.append(
        Relay(
            name,
            branch,
            draft.param(f"{name}.pull-in", pull_in, COIL),
            draft.param(f"{name}.drop-out", drop_out, COIL),
            pair("inrush", inrush),
            pair("sealed", sealed),
        )
    )


def _contactor(draft: Draft, part: Placed) -> None:
    name = part.name
    poles, legs = int(part.word("poles")), int(part.word("legs"))
    for leg in range(1, legs + 1):
        line, load = f"{name}.L{leg}", f"{name}.T{leg}"
        if leg <= poles:
            draft.branch(f"{name}.pole.{leg}", line, load, 2e-3, switches=(f"relay:{name}",))
        else:
            draft.branch(f"{name}.bar.{leg}", line, load)
    _coil(draft, name, f"{name}.coil", (f"{name}.coil.1", f"{name}.coil.2"), _CONTACTOR)


def _relay(draft: Draft, part: Placed) -> None:
    name = part.name
    ends = f"{name}.in", f"{name}.out"
    draft.branch(f"{name}.contact", *ends, 5e-3, switches=(f"relay:{name}",))
    _coil(draft, name, f"{name}.coil", (f"{name}.coil.1", f"{name}.coil.2"), _RELAY)


def _transformer(draft: Draft, part: Placed) -> None:
    name, va, tap = part.name, part.number("va"), part.number("tap")
    first = f"{name}.primary.1", f"{name}.primary.2"
    second = f"{name}.secondary.R", f"{name}.secondary.C"
    draft.node(*first, *second)
    by, ratio = 40 / va, (tap / 240) ** 2 * 40 / va
    draft.branch(f"{name}.primary.short", *first, OPEN)
    draft.branch(f"{name}.secondary.short", *second, OPEN)
    draft.pairs.append(
        Pair(
            name,
            first,
            second,
            draft.param(f"{name}.tap", tap, 0.01),
            NO_LOAD,
            draft.param(f"{name}.primary ohms", 70 * ratio, COIL),
            draft.param(f"{name}.secondary ohms", 1.0 * by, COIL),
            draft.param(f"{name}.leakage", 30 * ratio, COIL),
            draft.param(f"{name}.magnetising", 3500 * ratio, COIL),
            draft.param(f"{name}.core", 8000 * ratio, COIL),
        )
    )


def _thermostat(draft: Draft, part: Placed) -> None:
    name = part.name
    _coil(draft, name, f"{name}.electronics", (f"{name}.R", f"{name}.C"), _THERMOSTAT)
    for call in part.words("calls"):
        switches = (f"call:{call}", f"relay:{name}")
        draft.branch(f"{name}.{call}", f"{name}.R", f"{name}.{call}", 0.05, switches=switches)
    if part.number("cells"):
        cells = f"{name}.cells"
        draft.branch(cells, f"{name}.battery.plus", f"{name}.battery.minus", 0.5)
        draft.source(cells, f"{cells}.volts", part.number("cells"), direct=True)


def _cable(draft: Draft, part: Placed) -> None:
    name, feet = part.name, part.number("length") / 12
    wires = part.words("wires")
    for wire in wires:
        ends = f"{name}.{wire}", f"{name}.far.{wire}"
        draft.branch(f"{name}.{wire}", *ends, max(feet * CABLE_OHMS, 1e-3))
    for at, wire in enumerate(wires):
        for other in wires[at + 1 :]:
            ends = f"{name}.{wire}", f"{name}.{other}"
            draft.branch(f"{name}.{wire} beside {other}", *ends, 0.01, uf=feet * BESIDE)


def _fuse(draft: Draft, part: Placed) -> None:
    name = part.name
    link = f"{name}.link"
    draft.branch(link, f"{name}.line", f"{name}.load", 0.02, switches=(f"whole:{link}",))
    rated = draft.param(f"{link}.amps", part.number("amps"))
    draft.protections.append(Protection(link, (link,), rated, FUSE_K))


def _board(draft: Draft, part: Placed) -> None:
    draft.node(*(f"{part.name}.{one}" for one in part.words("terminals")))


def _switch(draft: Draft, part: Placed) -> None:
    draft.branch(f"{part.name}.contact", f"{part.name}.in", f"{part.name}.out", 0.05)


def _load(draft: Draft, part: Placed) -> None:
    ohms = 24.0 / part.number("amps")
    ends = f"{part.name}.R", f"{part.name}.C"
    draft.branch(f"{part.name}.element", *ends, ohms, tolerance=COIL)


_CALLS = Setting(default=("Y", "G"), many=True)
_IN_OUT = {"": ("in", "out")}
KINDS = (
    PartKind(
        "contactor",
        {"poles": Setting(words=("1", "2", "3")), "legs": Setting(words=("2", "3"))},
        _contactor,
        {"coil": ("coil.1", "coil.2")},
    ),
    PartKind("relay", {}, _relay, {"coil": ("coil.1", "coil.2"), "": ("in", "out")}),
    PartKind(
        "control transformer",
        {"va": Setting(Kind.POWER), "tap": Setting(Kind.VOLTAGE)},
        _transformer,
        {"primary": ("primary.1", "primary.2"), "secondary": ("secondary.R", "secondary.C")},
    ),
    PartKind("thermostat", {"calls": _CALLS, "cells": Setting(Kind.VOLTAGE, 0.0)}, _thermostat),
    PartKind(
        "thermostat cable",
        {"length": Setting(Kind.LENGTH), "wires": Setting(default=("R", "C", "Y", "G"), many=True)},
        _cable,
    ),
    PartKind("control fuse", {"amps": Setting(Kind.CURRENT)}, _fuse, {"": ("line", "load")}),
    PartKind("terminal board", {"terminals": Setting(many=True)}, _board),
    PartKind("switch", {}, _switch, _IN_OUT),
    PartKind("control load", {"amps": Setting(Kind.CURRENT)}, _load, {"": ("R", "C")}),
)
