"""What a compressor draws: starting, stuck, and running."""

from __future__ import annotations

from dataclasses import dataclass, replace

from engine.figure import Figure, Input, Output
from engine.quantity import Kind
from engine.trade.refuse import unless_above_zero, unless_zero_or_more
from engine.trade.verdict import ACCURACY, GOOD, HIGH, LOW, RESOLUTION, TOO_CLOSE, VERDICTS, judge

LOCKED_FRACTION = 0.7
NORMAL_START_SECONDS = 1.0
STUCK_SECONDS = 2.0
LOW_PERCENT = 50.0
HIGH_PERCENT = 110.0


@dataclass(frozen=True, slots=True)
class LockedRotor:
    """Locked-rotor amps to expect at the volts there are, and what was drawn of them."""

    expected: float
    fraction: float
    verdict: str
    """``high``: locked; ``good``: it started, or is still starting."""


def locked_rotor(
    lra: float,
    rated: float,
    volts: float,
    amps: float,
    seconds: float,
    accuracy: float = 0.0,
    resolution: float = 0.0,
) -> LockedRotor:
    """Return the locked-rotor amps expected at the volts measured, and whether it is locked.

    ``lra`` in A at ``rated`` V from the nameplate; ``volts`` at the terminals and ``amps`` held
    for ``seconds`` while starting; ``accuracy`` in percent of the amps, ``resolution`` in A.
    Formula: expected = lra x volts / rated; fraction = amps / expected; ``high`` (locked) from
    0.7 for 2 s or more, ``good`` up to 1 s or below 0.7, ``too close to call`` between 1 and 2 s.
    Source: physics for expected (current goes with volts at standstill); the limits are
    engineering judgement: a scroll starts in half a second, a single-phase one in about one.
    Limits: started across the line, no soft starter or drive; volts read while starting.
    Raises FigureError unless lra, rated and volts are above zero, and the rest not negative.
    """
    unless_above_zero(lra=lra, rated=rated, volts=volts)
    unless_zero_or_more(amps=amps, seconds=seconds, resolution=resolution)
    expected = lra * volts / rated
    fraction = amps / expected
    reaches = judge(
        fraction, LOCKED_FRACTION, None, accuracy=accuracy, resolution=resolution / expected
    )
    return LockedRotor(expected, fraction, _locked_verdict(reaches, seconds))


def _locked_verdict(reaches: str, seconds: float) -> str:
    """Turn "reaches 0.7 or not" into a verdict; no start is judged before it is over."""
    if reaches == LOW or seconds <= NORMAL_START_SECONDS:
        return GOOD
    if reaches == GOOD and seconds >= STUCK_SECONDS:
        return HIGH
    return TOO_CLOSE


@dataclass(frozen=True, slots=True)
class RunningAmps:
    """Running amps in percent of the rated load amps, and where they fall."""

    percent: float
    verdict: str


def running_amps(
    rla: float, amps: float, accuracy: float = 0.0, resolution: float = 0.0
) -> RunningAmps:
    """Return the running amps in percent of RLA; good from 50 to 110 %.

    ``rla`` and ``amps`` in A; ``accuracy`` in percent of the amps, ``resolution`` in A.
    Formula: 100 amps / rla.
    Source: engineering judgement, common practice: up to 110 % may be load, below 50 % is
    unloaded, low on charge, turning backward or not pumping.
    Limits: fixed-speed compressors in steady running; not while starting.
    Raises FigureError for rla not above zero, or negative amps, accuracy or resolution.
    """
    unless_above_zero(rla=rla)
    unless_zero_or_more(amps=amps, resolution=resolution)
    percent = 100 * amps / rla
    verdict = judge(
        percent, LOW_PERCENT, HIGH_PERCENT, accuracy=accuracy, resolution=100 * resolution / rla
    )
    return RunningAmps(percent, verdict)


FIGURES = (
    Figure(
        name="locked_rotor",
        title="Locked-rotor amps at the volts there are",
        inputs=(
            Input("lra", Kind.CURRENT, "A", "Locked-rotor amps on the nameplate."),
            Input("rated", Kind.VOLTAGE, "V", "Volts the nameplate gives them at."),
            Input("volts", Kind.VOLTAGE, "V", "Volts at the terminals while starting."),
            Input("amps", Kind.CURRENT, "A", "Amps held while starting."),
            Input("seconds", Kind.TIME, "s", "How long they were held."),
            ACCURACY,
            replace(RESOLUTION, kind=Kind.CURRENT, unit="A"),
        ),
        outputs=(
            Output("expected", Kind.CURRENT, "A"),
            Output("fraction", Kind.COUNT, "times"),
            Output("verdict", None, words=(GOOD, HIGH, TOO_CLOSE)),
        ),
        principal="fraction",
        function=locked_rotor,
        formula="expected = lra x volts / rated; fraction = amps / expected; high (locked) from "
        "0.7 for 2 s or more, good up to 1 s",
        source="physics for the expected amps; judgement for the limits",
        limits="Started across the line, no soft starter or drive.",
        example="lra=112 rated=230 volts=205 amps=95 seconds=3",
    ),
    Figure(
        name="running_amps",
        title="Running amps against the nameplate",
        inputs=(
            Input("rla", Kind.CURRENT, "A", "Rated load amps on the nameplate."),
            Input("amps", Kind.CURRENT, "A", "Amps while running steadily."),
            ACCURACY,
            replace(RESOLUTION, kind=Kind.CURRENT, unit="A"),
        ),
        outputs=(
            Output("percent", Kind.PERCENT, "%"),
            Output("verdict", None, words=VERDICTS),
        ),
        principal="percent",
        function=running_amps,
        formula="100 amps / rla; good from 50 to 110 %",
        source="judgement: common practice for the limits",
        limits="Fixed-speed compressors in steady running; not while starting.",
        example="rla=19.2 amps=17.8",
    ),
)
"""The figures of this subject."""
