"""What machines are made of: constants by kind and size, and a machine put into a circuit.

Owns the two tables. Constants were fitted to running amps, power factor, locked-rotor amps and
shaft power typical of each class: judgement, no data sheet. Other sizes and volts are scaled: ohms
with volts squared by power.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from engine.unit.netlist import OPEN, ZERO, Coil, Draft, Machine

COIL = 0.03
"""Share by which a winding as made differs; judgement."""
LOAD = 0.05
"""… and by which its load does."""
COMPRESSOR_START = 0.10
COMPRESSOR_START_3 = 0.30
"""Share of the running load that holds a standing compressor, pressures equal; judgement."""
FAN_START = 0.05
UNCOOLED = 1.6
"""Times its load on a compressor whose condenser gets no air; judgement."""


@dataclass(frozen=True, slots=True)
class SinglePhase:
    """A machine with a start winding on a run capacitor; ohms at 60 Hz, hot."""

    main: float
    start: float
    rotor: float
    x_main: float
    x_rotor: float
    x_magnetising: float
    turns: float
    """Of the start winding, by those of the main."""
    x_start: float
    watts: float
    volts: float
    size: float
    """Tons or horsepower."""


@dataclass(frozen=True, slots=True)
class ThreePhase:
    """A machine in star; ohms a phase at 60 Hz, hot."""

    winding: float
    rotor: float
    x: float
    x_magnetising: float
    watts: float
    volts: float
    size: float


COMPRESSORS = (
    SinglePhase(0.75, 1.7, 1.224, 1.047, 1.045, 35.31, 1.216, 1.653, 2750, 240, 3),
    SinglePhase(0.42, 1.15, 0.759, 0.644, 0.643, 20.09, 1.256, 1.079, 4500, 240, 5),
)
FANS = (
    SinglePhase(14, 30, 28.0, 31.0, 31.0, 233.7, 1.3, 47.2, 240, 240, 0.25),
    SinglePhase(9, 18, 16.6, 18.3, 18.3, 154, 1.3, 27.9, 300, 208, 1 / 3),
    SinglePhase(6, 14, 9.96, 12.9, 12.9, 119.4, 1.3, 19.6, 560, 240, 0.5),
)
COMPRESSOR_3 = ThreePhase(0.19, 0.1301, 0.1973, 8.687, 8700, 208, 10)
FAN_3 = ThreePhase(0.55, 0.557, 0.895, 27.1, 2350, 208, 3)

WINDINGS: Mapping[int, tuple[str, ...]] = MappingProxyType(
    {1: ("main", "start"), 3: ("winding.1", "winding.2", "winding.3")}
)
"""What the windings of a machine are called, by its phases."""


@dataclass(frozen=True, slots=True)
class Use:
    """What a machine is put to."""

    fan: bool
    cooled_by: str = ""
    opened_by: str = ""
    tapped: Collection[str] = ()
    """Windings that a fault is inside of: these get a tap."""


def nearest(table: tuple[SinglePhase, ...], size: float) -> SinglePhase:
    """Return the machine of a table whose size is the nearest."""
    return min(table, key=lambda one: abs(one.size - size) / one.size)


def single_phase(
    draft: Draft,
    name: str,
    ends: tuple[str, str, str],
    made: SinglePhase,
    size: tuple[float, float],
    use: Use,
) -> None:
    """Put a machine between its common, run and start terminals; ``size`` and volts of this one."""
    common, run, start = ends
    power, volts = size
    by = (volts / made.volts) ** 2 * made.size / power
    coils = (
        *_winding(
            draft,
            f"{name}.main",
            (common, run),
            (1.0, 0.0),
            (made.main * by, made.x_main * by),
            use,
        ),
        *_winding(
            draft,
            f"{name}.start",
            (common, start),
            (made.turns, -90.0),
            (made.start * by, made.x_start * by),
            use,
        ),
    )
    rotor = (made.rotor * by, made.x_rotor * by, made.x_magnetising * by)
    standing = abs(complex(made.main + made.rotor, made.x_main + made.x_rotor)) * by
    _machine(draft, name, coils, (1, volts, standing), rotor, made.watts * power / made.size, use)


def three_phase(
    draft: Draft,
    name: str,
    ends: tuple[str, str, str],
    made: ThreePhase,
    size: tuple[float, float],
    use: Use,
) -> None:
    """Put a machine in star between three terminals."""
    power, volts = size
    by = (volts / made.volts) ** 2 * made.size / power
    star = f"{name}.star"
    coils = tuple(
        coil
        for at, (part, end) in enumerate(zip(WINDINGS[3], ends, strict=True))
        for coil in _winding(
            draft,
            f"{name}.{part}",
            (end, star),
            (1.0, 120.0 * at),
            (made.winding * by, made.x * by),
            use,
        )
    )
    rotor = (made.rotor * by, made.x * by, made.x_magnetising * by)
    standing = abs(complex(made.winding + made.rotor, 2 * made.x)) * by
    _machine(draft, name, coils, (3, volts, standing), rotor, made.watts * power / made.size, use)


def _winding(
    draft: Draft,
    name: str,
    ends: tuple[str, str],
    wound: tuple[float, float],
    ohms: tuple[float, float],
    use: Use,
) -> tuple[Coil, ...]:
    """Return a winding's coil, or its two parts with a tap between where a fault is inside."""
    (a, b), (turns, degrees) = ends, wound
    draft.node(a, b)
    numbers = (
        draft.param(f"{name} turns", turns),
        degrees,
        draft.param(f"{name} ohms", ohms[0], COIL),
        draft.param(f"{name} x", ohms[1], COIL),
    )
    if name not in use.tapped:
        return (Coil(name, a, b, *numbers),)
    tap, share = f"{name}.tap", draft.param(f"{name} tap", 0.5)
    draft.branch(f"{name}.to ground", tap, "ground", OPEN)
    draft.branch(f"{name}.across turns", tap, b, OPEN)
    return (
        Coil(f"{name}.near", a, tap, *numbers, share),
        Coil(f"{name}.far", tap, b, *numbers, share, True),
    )


def _machine(
    draft: Draft,
    name: str,
    coils: tuple[Coil, ...],
    of: tuple[int, float, float],
    rotor: tuple[float, float, float],
    watts: float,
    use: Use,
) -> None:
    phases, volts, standing = of
    start = FAN_START if use.fan else COMPRESSOR_START if phases == 1 else COMPRESSOR_START_3
    draft.machines.append(
        Machine(
            name,
            coils,
            phases,
            draft.param(f"{name} rotor ohms", rotor[0], COIL),
            draft.param(f"{name} rotor x", rotor[1], COIL),
            draft.param(f"{name} magnetising", rotor[2], COIL),
            draft.param(f"{name} load", watts, LOAD),
            draft.param(f"{name} start", start),
            draft.param(f"{name} locked", 0.0),
            rated_slip=0.06,
            volts=volts,
            standing_ohms=standing,
            fan=use.fan,
            cooled_by=use.cooled_by,
            uncooled=UNCOOLED if use.cooled_by else 1.0,
            opened_by=use.opened_by,
        )
    )


__all__ = [
    "COMPRESSORS",
    "COMPRESSOR_3",
    "FANS",
    "FAN_3",
    "ZERO",
    "Use",
    "nearest",
    "single_phase",
    "three_phase",
]
