"""Motor and compressor windings by their ohms: which terminal is which, balance, temperature."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf, isnan

from engine.figure import Figure, FigureError, Input, Output
from engine.quantity import Kind
from engine.trade.limits import limit
from engine.trade.refuse import unless_above_zero, unless_zero_or_more
from engine.trade.unbalance import percent_unbalance, resolution_spread
from engine.trade.verdict import ACCURACY, GOOD, HIGH, RESOLUTION, TOO_CLOSE, judge_span

CONDITIONS = (
    "good",
    "internal overload open",
    "start winding open",
    "run winding open",
    "shorted turns",
    "open",
    "does not add up",
)
COPPER = 234.5
"""Degrees Celsius below zero at which copper's straight line of resistance meets zero ohms."""

MARKS = ("C", "R", "S")
Pair = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Windings:
    """Terminals of a single-phase compressor by their ohms, and what the windings are like."""

    common: str | None
    run: str | None
    start: str | None
    lead_resistance: float | None
    """Ohms that the meter's leads added to each reading."""
    condition: str


def windings(
    r12: float | None = None,
    r23: float | None = None,
    r13: float | None = None,
    cr: float | None = None,
    cs: float | None = None,
    sr: float | None = None,
    resolution: float = 0.0,
) -> Windings:
    """Return which terminal is common, run and start, the leads' ohms, and the condition.

    Ohms between terminals 1-2, 2-3 and 1-3, or C-R, C-S and S-R where they are marked; OL is
    infinity. ``resolution`` in ohms.
    Formula: the largest pair is S-R, the terminal left over is common; of its two pairs the
    smaller ends at run. lead_resistance = sum of the two smaller pairs - the largest (marked:
    C-R + C-S - S-R).
    Source: common practice; physics, the two windings are in series from S to R.
    Limits: single-phase compressors and fan motors with all leads off, not three-phase ones.
    Unmarked terminals with two pairs open can't tell which part is open: ``open``. A sum that
    is off by more than the leads explain and by more than 10 % does not add up (judgement,
    rows of the table ``limits``).
    Raises FigureError unless exactly one set of three is given, none negative.
    """
    pairs, marked = _pairs(r12, r23, r13, cr, cs, sr)
    unless_zero_or_more(resolution=resolution)
    if inf in pairs.values():
        condition = _open_condition(pairs)
        if marked:
            return Windings(*MARKS, None, condition)
        return Windings(None, None, None, None, condition)
    return _closed(pairs, marked, resolution)


def _pairs(*ohms: float | None) -> tuple[dict[Pair, float], bool]:
    """Return the three pairs of terminals with their ohms, and whether they were marked."""
    keys = ("r12", "r23", "r13", "cr", "cs", "sr")
    given = {key: value for key, value in zip(keys, ohms, strict=True) if value is not None}
    marked = "cr" in given or "cs" in given or "sr" in given
    wanted = keys[3:] if marked else keys[:3]
    for key in given:
        if key not in wanted:
            raise FigureError(
                f"{key} does not go with {wanted[0]}, {wanted[1]}, {wanted[2]}: give one set.", key
            )
    for key in wanted:
        if key not in given:
            raise FigureError(
                f"{key} is missing; all three pairs are needed, OL where it is open.", key
            )
    for key, value in given.items():
        if isnan(value) or value < 0:
            raise FigureError(f"{key}={value:g}: ohms can't be negative. Read again.", key)
    return {(key[-2].upper(), key[-1].upper()): given[key] for key in wanted}, marked


def _open_condition(pairs: Mapping[Pair, float]) -> str:
    """Judge three pairs of which at least one is open."""
    closed = [pair for pair, ohms in pairs.items() if ohms != inf]
    if not closed:
        return "open"
    if len(closed) == 2:
        # Two closed pairs make a way round, so the third can't be open.
        return "does not add up"
    if pairs[closed[0]] == 0:
        return "shorted turns"
    conditions = {
        ("S", "R"): "internal overload open",
        ("C", "R"): "start winding open",
        ("C", "S"): "run winding open",
    }
    return conditions.get(closed[0], "open")


def _closed(pairs: Mapping[Pair, float], marked: bool, resolution: float) -> Windings:
    """Judge three closed pairs, and tell the terminals by their ohms where they can be told."""
    largest = ("S", "R") if marked else max(pairs, key=lambda pair: pairs[pair])
    common = next(name for pair in pairs for name in pair if name not in largest)
    to_common = sorted(
        (ohms, next(name for name in pair if name != common))
        for pair, ohms in pairs.items()
        if pair != largest
    )
    (small, run), (large, start) = to_common
    leads = small + large - pairs[largest]
    if any(ohms == 0 or ohms < resolution for ohms in pairs.values()):
        condition = "shorted turns"
    elif _adds_up(leads, pairs[largest], resolution):
        condition = "good"
    else:
        condition = "does not add up"
    told = condition == "good" and (marked or pairs[largest] - large > resolution)
    if told and large - small > resolution:
        return Windings(common, run, start, leads, condition)
    if marked:
        return Windings(*MARKS, leads, condition)
    return Windings(common if told else None, None, None, leads, condition)


def _adds_up(leads: float, largest: float, resolution: float) -> bool:
    """Return whether S-R is the sum of the two others, but for the leads and the meter's steps."""
    steps = 3 * resolution
    if limit("least lead resistance") - steps <= leads <= limit("most lead resistance") + steps:
        return True
    return abs(leads) <= largest * limit("winding sum") / 100


@dataclass(frozen=True, slots=True)
class WindingBalance:
    """Unbalance in percent of three windings, and the verdict."""

    percent: float
    verdict: str


def winding_balance(
    ohms: Sequence[float], resolution: float, accuracy: float = 0.0
) -> WindingBalance:
    """Return the unbalance in percent of the ohms T1-T2, T2-T3, T3-T1 of a three-phase motor.

    ``ohms`` in ohm; ``resolution`` in ohm, the meter's smallest step; ``accuracy`` in percent
    of the unbalance.
    Formula: 100 x largest |ohms - average| / average.
    Source: common practice, good to 5 % of the average; physics for what the meter can tell: a
    step of more than 5 % of the lowest winding is too close to call, whatever it reads.
    Limits: all leads off, same temperature; lead resistance taken off first. With a milliohm
    meter makers expect 2 %.
    Raises FigureError unless there are three values, none negative and not all of them zero.
    """
    unless_zero_or_more(accuracy=accuracy, resolution=resolution)
    percent = percent_unbalance(ohms, "ohms")
    if 100 * resolution > limit("coarsest resolution") * min(ohms):
        return WindingBalance(percent, TOO_CLOSE)
    spread = percent * accuracy / 100 + resolution_spread(ohms, resolution)
    most = limit("winding unbalance")
    return WindingBalance(
        percent, judge_span(max(0.0, percent - spread), percent + spread, None, most)
    )


@dataclass(frozen=True, slots=True)
class WindingTemperature:
    """A winding's ohms at another temperature, or its temperature at other ohms."""

    ohms: float | None
    temperature: float | None
    """In °F."""


def winding_temperature(
    ohms: float, at: float, to: float | None = None, hot_ohms: float | None = None
) -> WindingTemperature:
    """Return the ohms of a copper winding at ``to``, or its temperature where it has ``hot_ohms``.

    ``ohms`` read at ``at`` °F; give ``to`` in °F or ``hot_ohms`` in ohm, not both. The
    temperature is in °F.
    Formula: R2 / R1 = (234.5 + t2) / (234.5 + t1), t in °C.
    Source: from memory, IEEE 112; 234.5 is copper.
    Limits: copper, the whole winding at one temperature, lead resistance taken off.
    Raises FigureError for ohms not above zero, temperatures at or below -390 °F, or both or
    neither of to and hot_ohms.
    """
    if (to is None) == (hot_ohms is None):
        raise FigureError("Give either to, a temperature, or hot_ohms.", "to")
    unless_above_zero(ohms=ohms)
    cold = _above_copper_zero("at", at)
    if to is not None:
        return WindingTemperature(ohms * _above_copper_zero("to", to) / cold, None)
    assert hot_ohms is not None
    unless_above_zero(hot_ohms=hot_ohms)
    return WindingTemperature(None, (hot_ohms / ohms * cold - COPPER) * 1.8 + 32)


def _above_copper_zero(key: str, fahrenheit: float) -> float:
    kelvin = (fahrenheit - 32) / 1.8 + COPPER
    if not 0 < kelvin < inf:
        raise FigureError(f"{key}={fahrenheit:g} F is no temperature of a winding.", key)
    return kelvin


_OL = ("OL",)


def _pair(name: str, between: str) -> Input:
    return Input(
        name, Kind.RESISTANCE, "ohm", f"Ohms {between}, or OL.", optional=True, special=_OL
    )


FIGURES = (
    Figure(
        name="windings",
        title="Single-phase windings: terminals and condition",
        inputs=(
            _pair("r12", "terminal 1 to 2"),
            _pair("r23", "terminal 2 to 3"),
            _pair("r13", "terminal 1 to 3"),
            _pair("cr", "common to run, where they are marked"),
            _pair("cs", "common to start"),
            _pair("sr", "start to run"),
            replace(RESOLUTION, kind=Kind.RESISTANCE, unit="ohm"),
        ),
        outputs=(
            Output("common", None, words=("1", "2", "3", "C")),
            Output("run", None, words=("1", "2", "3", "R", "S")),
            Output("start", None, words=("1", "2", "3", "R", "S")),
            Output("lead_resistance", Kind.RESISTANCE, "ohm"),
            Output("condition", None, words=CONDITIONS),
        ),
        principal="condition",
        function=windings,
        formula="largest pair = S-R; the third terminal is common; leads = a + b - c",
        source="practice; physics: the two windings are in series from S to R",
        limits="Single-phase, all leads off. Unmarked terminals can't tell which part is open.",
        example="r12=1.3 r23=3.8 r13=4.9 resolution=0.1",
    ),
    Figure(
        name="winding_balance",
        title="Balance of three-phase windings",
        inputs=(
            Input(
                "ohms", Kind.RESISTANCE, "ohm", "Ohms T1-T2, T2-T3, T3-T1, leads off.", many=True
            ),
            Input("resolution", Kind.RESISTANCE, "ohm", "Smallest step the meter shows."),
            ACCURACY,
        ),
        outputs=(
            Output("percent", Kind.PERCENT, "%"),
            Output("verdict", None, words=(GOOD, HIGH, TOO_CLOSE)),
        ),
        principal="verdict",
        function=winding_balance,
        formula="100 x largest deviation from the average / average",
        source="practice: 5 % of the average; physics: the meter's step under 5 % of the lowest",
        limits="Leads off, one temperature, lead resistance taken off; 2 % with a milliohm meter.",
        example="ohms=1.02,1.03,1.04 resolution=0.01",
    ),
    Figure(
        name="winding_temperature",
        title="Winding ohms and temperature",
        inputs=(
            Input("ohms", Kind.RESISTANCE, "ohm", "Ohms of the winding."),
            Input("at", Kind.TEMPERATURE, "F", "Temperature they were read at."),
            Input("to", Kind.TEMPERATURE, "F", "Temperature to convert to.", optional=True),
            Input("hot_ohms", Kind.RESISTANCE, "ohm", "Ohms read hot.", optional=True),
        ),
        outputs=(
            Output("ohms", Kind.RESISTANCE, "ohm"),
            Output("temperature", Kind.TEMPERATURE, "F", as_given="at"),
        ),
        principal="ohms",
        function=winding_temperature,
        formula="R2 / R1 = (234.5 + t2) / (234.5 + t1), t in °C",
        source="from memory: IEEE 112; 234.5 is copper",
        limits="Copper, one temperature through the winding, lead resistance taken off.",
        example="ohms=1.20 at=75F to=160F",
    ),
)
"""The figures of this subject."""
