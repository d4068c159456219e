"""Joints, poles and lugs: what they lose in millivolts, and what an infrared camera sees."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from engine.figure import Figure, FigureError, Input, Output
from engine.quantity import Kind
from engine.trade.limits import limit
from engine.trade.refuse import unless_above_zero, unless_zero_or_more
from engine.trade.table import table
from engine.trade.verdict import ACCURACY, GOOD, HIGH, RESOLUTION, TOO_CLOSE, judge_span

CLASSES = ("none", "possible", "probable", "major")


@dataclass(frozen=True, slots=True)
class Joint:
    """A joint's resistance in milliohms and the heat made in it in watts."""

    milliohms: float
    watts: float


def joint(millivolts: float, amps: float) -> Joint:
    """Return the milliohms of a joint or pole and the watts it makes into heat.

    ``millivolts`` across it while ``amps`` flow.
    Formula: milliohms = mV / A; watts = mV x A / 1000.
    Source: physics.
    Limits: both read together under steady load.
    Raises FigureError for negative millivolts, or amps not above zero.
    """
    unless_zero_or_more(millivolts=millivolts)
    unless_above_zero(amps=amps)
    return Joint(millivolts / amps, millivolts * amps / 1000)


@dataclass(frozen=True, slots=True)
class Poles:
    """How far the worst pole is above the best, in percent, and the verdict."""

    percent_above_lowest: float
    verdict: str


def poles(millivolts: Sequence[float], accuracy: float = 0.0, resolution: float = 0.0) -> Poles:
    """Return by how many percent the highest pole drop is above the lowest; good to 50 %.

    ``millivolts`` across each pole of one device at the same amps, two or three of them;
    ``accuracy`` in percent of the result, ``resolution`` in mV.
    Formula: 100 x (highest - lowest) / lowest.
    Source: standard, NETA, as restated at se.com/ca/en/faqs/FA375074; the 50 % is a row of the
    table ``limits``. UL 489 gives no limit, and NEMA AB 4 warns against it as the only test.
    Limits: balanced load; take unlike amps out first by mV x (one amps / other amps).
    Raises FigureError unless there are two or three values, none negative, the lowest above
    zero.
    """
    if len(millivolts) not in (2, 3):
        raise FigureError(
            f"millivolts wants one value a pole, two or three; it has {len(millivolts)}.",
            "millivolts",
        )
    for value in millivolts:
        unless_zero_or_more(millivolts=value)
    unless_zero_or_more(accuracy=accuracy, resolution=resolution)
    lowest, highest = min(millivolts), max(millivolts)
    if lowest == 0:
        raise FigureError(
            "millivolts: a pole that reads 0 mV carries nothing, or the range is too coarse; "
            "read all poles under load.",
            "millivolts",
        )
    percent = 100 * (highest - lowest) / lowest
    half = percent * accuracy / 100
    least = max(0.0, _above(lowest + resolution, highest - resolution) - half)
    most = limit("pole drop")
    if lowest <= resolution:
        return Poles(percent, TOO_CLOSE)
    worst = _above(lowest - resolution, highest + resolution) + half
    return Poles(percent, judge_span(least, worst, None, most))


def _above(lowest: float, highest: float) -> float:
    return 100 * (highest - lowest) / lowest


@dataclass(frozen=True, slots=True)
class HotJoint:
    """The class of a hot joint at the load it must carry, and how hot it gets there."""

    class_: str
    kelvin_at: float


def hot_joint(kelvin: float, amps: float, at_amps: float) -> HotJoint:
    """Return how hot a joint gets at ``at_amps``, and its class there.

    ``kelvin`` is the difference to a like joint beside it under the same load, in °C apart,
    seen while ``amps`` flow.
    Formula: kelvin_at = kelvin x (at_amps / amps)²; the class by kelvin_at: possible from 1,
    probable from 4, major above 15.
    Source: standard, NETA MTS Table 100.18, as restated at arpedon.com; physics for the load.
    Limits: look with 40 % of full load or more; emissivity, wind and sun mislead. To ambient
    air other limits hold.
    Raises FigureError for negative kelvin or at_amps, or amps not above zero.
    """
    unless_zero_or_more(kelvin=kelvin, at_amps=at_amps)
    unless_above_zero(amps=amps)
    share = at_amps / amps
    at_load = kelvin * share * share
    found = CLASSES[0]
    for above, word, included in table("thermography")["rows"]:
        if at_load > above or (included == "included" and at_load == above):
            found = word
    return HotJoint(found, at_load)


FIGURES = (
    Figure(
        name="joint",
        title="Resistance and heat of a joint",
        inputs=(
            Input("millivolts", Kind.VOLTAGE, "mV", "Drop across the joint under load."),
            Input("amps", Kind.CURRENT, "A", "Amps through it."),
        ),
        outputs=(
            Output("milliohms", Kind.RESISTANCE, "mohm"),
            Output("watts", Kind.POWER, "W"),
        ),
        principal="watts",
        function=joint,
        formula="milliohms = mV / A; watts = mV x A / 1000",
        source="physics",
        limits="Both read together under steady load.",
        example="millivolts=50 amps=40",
    ),
    Figure(
        name="poles",
        title="Poles of a breaker or contactor compared",
        inputs=(
            Input(
                "millivolts",
                Kind.VOLTAGE,
                "mV",
                "Drop across each pole at the same amps.",
                many=True,
            ),
            ACCURACY,
            replace(RESOLUTION, kind=Kind.VOLTAGE, unit="mV"),
        ),
        outputs=(
            Output("percent_above_lowest", Kind.PERCENT, "%"),
            Output("verdict", None, words=(GOOD, HIGH, TOO_CLOSE)),
        ),
        principal="percent_above_lowest",
        function=poles,
        formula="100 x (highest - lowest) / lowest",
        source="standard: NETA, 50 % above the lowest pole, as restated at se.com",
        limits="Balanced load; never the only test.",
        example="millivolts=42,45,71",
    ),
    Figure(
        name="hot_joint",
        title="Hot joint seen with an infrared camera",
        inputs=(
            Input(
                "kelvin",
                Kind.TEMPERATURE_DIFFERENCE,
                "C apart",
                "Difference to a like joint beside it.",
            ),
            Input("amps", Kind.CURRENT, "A", "Amps while it was seen."),
            Input("at_amps", Kind.CURRENT, "A", "Amps it must carry at full load."),
        ),
        outputs=(
            Output("class", None, words=CLASSES),
            Output("kelvin_at", Kind.TEMPERATURE_DIFFERENCE, "C apart"),
        ),
        principal="class",
        function=hot_joint,
        formula="kelvin_at = kelvin x (at_amps / amps)²",
        source="standard: NETA MTS Table 100.18, as restated at arpedon.com; physics",
        limits="Like joints under like load, 40 % of full load or more; sun and wind mislead.",
        example="kelvin=12 amps=35 at_amps=60",
    ),
)
"""The figures of this subject."""
