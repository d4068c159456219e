"""The 24-volt side: the transformer, the contactor's coil, the string of safeties."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, log2

from engine.figure import Figure, FigureError, Input, Output
from engine.quantity import Kind
from engine.trade.refuse import unless_above_zero, unless_whole, unless_zero_or_more
from engine.trade.verdict import ACCURACY, RESOLUTION, VERDICTS, judge

PULL_IN = 0.85
HIGHEST = 1.10


@dataclass(frozen=True, slots=True)
class ControlTransformer:
    """What a control transformer can give: amps, and volts on this supply and tap."""

    amps: float
    volts: float | None


def control_transformer(
    va: float, secondary: float, tap: float | None = None, supply: float | None = None
) -> ControlTransformer:
    """Return the full-load amps of the secondary, and its volts for a supply on a tap.

    ``va`` in VA, ``secondary`` in V as rated; ``tap`` and ``supply`` in V, both or neither:
    without them volts is None.
    Formula: amps = va / secondary; volts = secondary x supply / tap.
    Source: physics, turns ratio.
    Limits: at rated load; unloaded it reads 5 to 10 % higher (common practice).
    Raises FigureError for values not above zero, or one of tap and supply without the other.
    """
    unless_above_zero(va=va, secondary=secondary)
    if tap is None and supply is None:
        return ControlTransformer(va / secondary, None)
    if tap is None:
        raise FigureError("supply needs tap too: the volts marked on the tap in use.", "tap")
    if supply is None:
        raise FigureError("tap needs supply too: the volts measured on the primary.", "supply")
    unless_above_zero(tap=tap)
    unless_zero_or_more(supply=supply)
    return ControlTransformer(va / secondary, secondary * supply / tap)


@dataclass(frozen=True, slots=True)
class Coil:
    """The volts a contactor coil needs and stands, and where the reading falls."""

    pull_in: float
    highest: float
    verdict: str


def coil(volts: float, rated: float, accuracy: float = 0.0, resolution: float = 0.0) -> Coil:
    """Return the volts between which a contactor coil must pull in, and the verdict.

    ``volts`` at the coil while it is called, ``rated`` on its label; ``accuracy`` in percent
    of the volts, ``resolution`` in V.
    Formula: pull_in = 85 % of rated; highest = 110 % of rated; both ends good.
    Source: from memory, NEMA ICS 2.
    Limits: ac contactor coils read at the coil's own terminals under load.
    Raises FigureError for rated not above zero or a negative reading, accuracy or resolution.
    """
    unless_above_zero(rated=rated)
    unless_zero_or_more(volts=volts)
    pull_in, highest = PULL_IN * rated, HIGHEST * rated
    verdict = judge(volts, pull_in, highest, accuracy=accuracy, resolution=resolution)
    return Coil(pull_in, highest, verdict)


@dataclass(frozen=True, slots=True)
class SeriesString:
    """Where the open device of a series string can still be, and the checks that takes."""

    checks_at_most: int
    open_between: tuple[int, int]
    """First and last device still suspect; both the same when it is found."""


def series_string(
    devices: float, good_node: float | None = None, bad_node: float | None = None
) -> SeriesString:
    """Return which devices of a series string can be open, and how many more checks find it.

    The string has ``devices`` in a row, numbered 1, 2, 3 … from the supply; node n is after
    device n, node 0 is the supply itself. ``good_node`` is the last node with volts,
    ``bad_node`` the first without; left out they are node 0 and the last one.
    Formula: suspects are good_node + 1 to bad_node; checks = log2 of their number, rounded up.
    Source: physics; halving.
    Limits: at least one device is open, and with several the first one is meant; nodes read
    to common, under load, without another path feeding the string from behind.
    Raises FigureError unless 0 <= good_node < bad_node <= devices, all whole numbers.
    """
    unless_whole(1, devices=devices)
    good = 0.0 if good_node is None else good_node
    bad = devices if bad_node is None else bad_node
    unless_whole(0, good_node=good)
    unless_whole(1, bad_node=bad)
    for key, node in (("good_node", good), ("bad_node", bad)):
        if node > devices:
            raise FigureError(f"{key}={node:g}: the last node is {devices:g}.", key)
    if good >= devices:
        raise FigureError(
            f"good_node={good:g} is after the last device: the whole string is closed.",
            "good_node",
        )
    if good >= bad:
        raise FigureError(
            f"good_node={good:g} lies at or beyond bad_node={bad:g}: volts can't come back "
            "after an open device unless something feeds from behind; read both again.",
            "good_node",
        )
    return SeriesString(ceil(log2(bad - good)), (int(good) + 1, int(bad)))


FIGURES = (
    Figure(
        name="control_transformer",
        title="Control transformer: amps, and volts on a tap",
        inputs=(
            Input("va", Kind.POWER, "VA", "Rating on the transformer."),
            Input("secondary", Kind.VOLTAGE, "V", "Rated secondary volts, usually 24."),
            Input(
                "tap", Kind.VOLTAGE, "V", "Volts marked on the primary tap in use.", optional=True
            ),
            Input("supply", Kind.VOLTAGE, "V", "Volts measured on the primary.", optional=True),
        ),
        outputs=(
            Output("amps", Kind.CURRENT, "A"),
            Output("volts", Kind.VOLTAGE, "V"),
        ),
        principal="amps",
        function=control_transformer,
        formula="amps = va / secondary; volts = secondary x supply / tap",
        source="physics: turns ratio",
        limits="At rated load; unloaded it reads 5 to 10 % higher (common practice).",
        example="va=40 secondary=24 tap=240 supply=208",
    ),
    Figure(
        name="coil",
        title="Contactor coil: pull-in and highest volts",
        inputs=(
            Input("volts", Kind.VOLTAGE, "V", "Volts at the coil while it is called."),
            Input("rated", Kind.VOLTAGE, "V", "Volts on the coil's label."),
            ACCURACY,
            replace(RESOLUTION, kind=Kind.VOLTAGE, unit="V"),
        ),
        outputs=(
            Output("pull_in", Kind.VOLTAGE, "V"),
            Output("highest", Kind.VOLTAGE, "V"),
            Output("verdict", None, words=VERDICTS),
        ),
        principal="verdict",
        rises=("pull_in", "highest"),
        function=coil,
        formula="pull_in = 85 % of rated; highest = 110 % of rated",
        source="from memory: NEMA ICS 2, contactors pull in at 85 % and stand 110 %",
        limits="Ac contactor coils, read at the coil's own terminals while it is called.",
        example="volts=20.8 rated=24",
    ),
    Figure(
        name="series_string",
        title="Open device in a series string, by halving",
        inputs=(
            Input("devices", Kind.COUNT, "times", "How many devices are in a row."),
            Input(
                "good_node",
                Kind.COUNT,
                "times",
                "Last node with volts to common; node n is after device n.",
                optional=True,
                default="0",
            ),
            Input(
                "bad_node",
                Kind.COUNT,
                "times",
                "First node without volts; left out, the last one.",
                optional=True,
            ),
        ),
        outputs=(Output("checks_at_most", Kind.COUNT, "times"), Output("open_between", None)),
        principal="checks_at_most",
        function=series_string,
        formula="suspects = good_node + 1 to bad_node; checks = log2 of their number, rounded up",
        source="physics: halving; each check at the middle node leaves half",
        limits="At least one device is open; with several open, the first is found. Nodes are "
        "read to common, with nothing feeding the string from behind.",
        example="devices=7 good_node=5 bad_node=7",
    ),
)
"""The figures of this subject."""
