"""Copper conductors: which size carries the amps, what a size carries, the volts it loses."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from engine.figure import Figure, FigureError, Input, Output
from engine.quantity import Kind
from engine.trade.refuse import (
    unless_above_zero,
    unless_between,
    unless_whole,
    unless_zero_or_more,
)
from engine.trade.table import table

COLUMNS = {"60": 0, "75": 1, "90": 2}
"""Temperature rating in °C to its column, the same in all three tables of ampacity."""
TERMINALS = ("60", "75")
INSULATIONS = ("60", "75", "90")
BASE_AMBIENT = 86.0
"""30 °C in °F, what the ampacity table is made for."""


@dataclass(frozen=True, slots=True)
class Conductor:
    """A copper size and what it carries under the conditions given, in A."""

    awg: str
    ampacity: float


def conductor(
    amps: float,
    terminals: str,
    ambient: float = BASE_AMBIENT,
    conductors: float = 3.0,
    insulation: str | None = None,
) -> Conductor:
    """Return the smallest copper size that carries ``amps`` (the mca, with its 125 % in it).

    ``terminals`` are marked 60 or 75 °C; ``ambient`` in °F; ``conductors`` current-carrying in
    the raceway; ``insulation`` 60, 75 or 90 °C, taken like the terminals unless given, which
    errs to the larger size.
    Formula: the first size whose ``ampacity`` is at least ``amps``.
    Source: code, NEC Table 310.16 with its corrections, 110.14(C).
    Limits: 14 AWG to 4/0 copper; voltage drop, 240.4(D) and the nameplate's own demands are
    looked at apart.
    Raises FigureError for amps not above zero or beyond 4/0, and as ``ampacity`` does.
    """
    unless_above_zero(amps=amps)
    for awg in sizes():
        carries = ampacity(awg, insulation or terminals, terminals, ambient, conductors).amps
        if carries >= amps:
            return Conductor(awg, carries)
    raise FigureError(
        f"amps={amps:g}: no single copper conductor up to {sizes()[-1]} carries that here "
        f"({carries:g} A at most); it takes sets in parallel, or another calculation.",
        "amps",
    )


@dataclass(frozen=True, slots=True)
class Ampacity:
    """What a conductor carries, in A."""

    amps: float


def ampacity(
    awg: str,
    insulation: str,
    terminals: str,
    ambient: float = BASE_AMBIENT,
    conductors: float = 3.0,
) -> Ampacity:
    """Return the amps a copper conductor carries where it lies and where it ends.

    ``awg`` is the bare size (8, 1/0); ``insulation`` 60, 75 or 90 °C and ``terminals`` 60 or
    75 °C as marked; ``ambient`` in °F; ``conductors`` current-carrying in the raceway.
    Formula: least of (column of the insulation x ambient correction x bundling) and (column of
    the terminals).
    Source: code, NEC Table 310.16, 310.15(B)(1), 310.15(C)(1), 110.14(C).
    Limits: copper in raceway or cable, not free air or flexible cord; nothing is gained below
    30 °C. On a roof less than 7/8 in above it add 60 °F to the ambient (NEC 310.15(B)(2)).
    Raises FigureError for a size that is not in the table, an ambient or a number of
    conductors that the tables don't reach.
    """
    _unless_one_of("insulation", insulation, INSULATIONS)
    _unless_one_of("terminals", terminals, TERMINALS)
    amps = _numbers("ampacity", awg)
    share = _ambient_correction(ambient, COLUMNS[insulation]) * _bundling(conductors)
    return Ampacity(min(amps[COLUMNS[insulation]] * share, amps[COLUMNS[terminals]]))


def _unless_one_of(key: str, word: str, words: tuple[str, ...]) -> None:
    if word not in words:
        raise FigureError(f"{key}={word}: it is {' or '.join(words)} °C, as marked.", key)


def _ambient_correction(fahrenheit: float, column: int) -> float:
    unless_between(-60, 250, "F", ambient=fahrenheit)
    celsius = round((fahrenheit - 32) / 1.8, 6)
    for up_to, *factors in table("ambient_correction")["rows"]:
        if celsius <= up_to and factors[column] is not None:
            return float(factors[column])
        if celsius <= up_to:
            break
    raise FigureError(
        f"ambient={fahrenheit:g} F ({celsius:.0f} °C) is more than this insulation stands.",
        "ambient",
    )


def _bundling(conductors: float) -> float:
    unless_whole(1, conductors=conductors)
    rows = table("bundling")["rows"]
    for up_to, factor in rows:
        if conductors <= up_to:
            return float(factor)
    raise FigureError(
        f"conductors={conductors:g} are more than the table of bundling has, {rows[-1][0]}.",
        "conductors",
    )


# -- sizes


def sizes(name: str = "ampacity") -> tuple[str, ...]:
    """Return the sizes of the table ``name`` from the smallest to the largest."""
    return tuple(row[0] for row in table(name)["rows"])


def takes(connector: tuple[str, str], awg: str) -> bool:
    """Return whether a connector listed for a range of sizes takes ``awg``, both ends counted.

    ``connector`` is the range as it is listed, in either order: ("3/0", "6").
    Source: code, NEC 110.14(A); the order of AWG sizes (ASTM B258).
    Raises FigureError for a size that is not in the table.
    """
    order = sizes()
    first, last = sorted(order.index(_bare(end, order)) for end in connector)
    return first <= order.index(_bare(awg, order)) <= last


def _bare(awg: str, known: tuple[str, ...]) -> str:
    """Return a size as tables have it: ``#8 AWG`` is 8."""
    bare = awg.upper().removesuffix("AWG").strip().lstrip("#")
    if bare not in known:
        raise FigureError(f"awg={awg} is not in the table, which has {', '.join(known)}.", "awg")
    return bare


def _numbers(name: str, awg: str) -> tuple[float, ...]:
    """Return what the table ``name`` has beside a size."""
    bare = _bare(awg, sizes(name))
    row = next(row for row in table(name)["rows"] if row[0] == bare)
    return tuple(float(number) for number in row[1:])


# -- voltage drop


@dataclass(frozen=True, slots=True)
class VoltageDrop:
    """What is lost in the conductors: volts, and percent of the supply."""

    volts: float
    percent: float


def voltage_drop(awg: str, phases: str, amps: float, feet: float, volts: float) -> VoltageDrop:
    """Return the volts lost in ``feet`` of copper one way, and their percent of ``volts``.

    ``phases`` is 1 or 3; ``amps`` in A, ``feet`` one way, ``volts`` the supply line to line.
    Formula: 2 I R L / 1000 for one phase, sqrt 3 I R L / 1000 for three, R in ohm per 1000 ft.
    Source: physics; R from memory, NEC Chapter 9 Table 8, stranded copper at 75 °C.
    Limits: dc resistance, near enough up to 2/0 and for power factors above 0.85; advisory
    limits are 3 % for a branch and 5 % in all (from memory, NEC 210.19(A) note).
    Raises FigureError for a size that is not in the table, negative amps or feet, or volts not
    above zero.
    """
    if phases not in ("1", "3"):
        raise FigureError(f"phases={phases}: it is 1 or 3.", "phases")
    unless_zero_or_more(amps=amps, feet=feet)
    unless_above_zero(volts=volts)
    resistance = _numbers("conductor_resistance", awg)[0]
    ways = 2.0 if phases == "1" else sqrt(3)
    lost = ways * amps * resistance * feet / 1000
    return VoltageDrop(lost, 100 * lost / volts)


_AWG = Input("awg", None, sentence="Copper size, bare: 8, 1/0.")
_CONDITIONS = (
    Input(
        "ambient",
        Kind.TEMPERATURE,
        "F",
        "Temperature of the air round the conductors.",
        optional=True,
        default="86 F",
    ),
    Input(
        "conductors",
        Kind.COUNT,
        "times",
        "Current-carrying conductors in the raceway or cable.",
        optional=True,
        default="3",
    ),
)
_TERMINALS = Input(
    "terminals", None, sentence="Marked rating of the terminals in °C.", words=TERMINALS
)
_TABLES = "code: NEC Table 310.16, 310.15(B)(1), 310.15(C)(1), 110.14(C), as restated"

FIGURES = (
    Figure(
        name="conductor",
        title="Smallest copper conductor",
        inputs=(
            Input("amps", Kind.CURRENT, "A", "Amps it must carry: the mca."),
            _TERMINALS,
            *_CONDITIONS,
            Input(
                "insulation",
                None,
                sentence="Marked rating of the insulation in °C; as the terminals unless given.",
                optional=True,
                words=INSULATIONS,
            ),
        ),
        outputs=(Output("awg", None), Output("ampacity", Kind.CURRENT, "A")),
        principal="ampacity",
        function=conductor,
        formula="first size whose ampacity is at least the amps",
        source=_TABLES,
        limits="14 AWG to 4/0 copper, 30 °C and three conductors unless given; the local code "
        "and the nameplate win.",
        example="amps=32.1 terminals=75",
    ),
    Figure(
        name="ampacity",
        title="What a copper conductor carries",
        inputs=(
            _AWG,
            Input(
                "insulation",
                None,
                sentence="Marked rating of the insulation in °C.",
                words=INSULATIONS,
            ),
            _TERMINALS,
            *_CONDITIONS,
        ),
        outputs=(Output("amps", Kind.CURRENT, "A"),),
        principal="amps",
        function=ampacity,
        formula="least of (insulation column x ambient x bundling) and (terminal column)",
        source=_TABLES,
        limits="Copper in raceway or cable. On a roof, less than 7/8 in above it, add 60 °F.",
        example="awg=10 insulation=90 terminals=75 ambient=45C conductors=3",
    ),
    Figure(
        name="voltage_drop",
        title="Volts lost in the conductors",
        inputs=(
            _AWG,
            Input("phases", None, sentence="One phase or three.", words=("1", "3")),
            Input("amps", Kind.CURRENT, "A", "Amps drawn."),
            Input("feet", Kind.LENGTH, "ft", "Length one way."),
            Input("volts", Kind.VOLTAGE, "V", "Supply, line to line."),
        ),
        outputs=(Output("volts", Kind.VOLTAGE, "V"), Output("percent", Kind.PERCENT, "%")),
        principal="percent",
        function=voltage_drop,
        formula="1 phase: 2 I R L / 1000; 3 phases: sqrt 3 I R L / 1000",
        source="physics; from memory: R of NEC Chapter 9 Table 8; advisory 3 % branch, 5 % in all",
        limits="Dc resistance of stranded copper at 75 °C; power factor 0.85 and better.",
        example="awg=10 phases=3 amps=32 feet=120 volts=208",
    ),
)
"""The figures of this subject."""
