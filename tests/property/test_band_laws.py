"""Laws of bands: every number in exactly one, in order, exact at the cuts, close when it spans."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from engine.bands import OTHERWISE, Bands, place, read_bands, window
from engine.formula import Box, Measured
from engine.quantity import Kind, Quantity
from engine.rising import rises

NUMBERS = st.integers(min_value=-2000, max_value=2000).map(lambda n: Fraction(n, 10))
Cut = tuple[str, Fraction]


def volts(number: Fraction) -> Quantity:
    return Quantity(number, Kind.VOLTAGE)


def written(cut: Cut) -> str:
    word, number = cut
    return f"{word} {float(number):.1f} V"


@st.composite
def rising_cuts(draw: st.DrawFn) -> list[Cut]:
    """Cuts that rise; below Q and then up to Q may stand at the same Q."""
    numbers = sorted(draw(st.sets(NUMBERS, min_size=1, max_size=5)))
    cuts: list[Cut] = []
    for number in numbers:
        words = draw(st.sampled_from([["below"], ["up to"], ["below", "up to"]]))
        cuts.extend((word, number) for word in words)
    return cuts


def bands_of(cuts: list[Cut]) -> Bands:
    bands, misfits = read_bands([*map(written, cuts), OTHERWISE], {})
    assert not misfits
    return bands


def holds(cuts: list[Cut], band: int, value: Fraction) -> bool:
    """Say by the definition alone whether a band holds a value."""

    def under(cut: Cut) -> bool:
        return value < cut[1] if cut[0] == "below" else value <= cut[1]

    above_last = band == 0 or not under(cuts[band - 1])
    return above_last and (band == len(cuts) or under(cuts[band]))


def band_at(bands: Bands, value: Fraction) -> int:
    placed = place(bands, Measured.sure(volts(value)), {}, {})
    assert not placed.close
    return bands.keys.index(placed.key)


@given(rising_cuts(), NUMBERS)
def test_every_value_falls_in_exactly_one_band(cuts: list[Cut], value: Fraction) -> None:
    holding = [band for band in range(len(cuts) + 1) if holds(cuts, band, value)]
    assert holding == [band_at(bands_of(cuts), value)]


@given(rising_cuts())
def test_every_band_holds_something_and_a_cut_is_exact(cuts: list[Cut]) -> None:
    bands = bands_of(cuts)
    hair = Fraction(1, 10**9)
    found = {band_at(bands, number + by) for _, number in cuts for by in (-hair, Fraction(0), hair)}
    assert found == set(range(len(cuts) + 1))
    for at, (word, number) in enumerate(cuts):
        assert (band_at(bands, number) <= at) is (word == "up to")
        assert band_at(bands, number - hair) <= at < band_at(bands, number + hair)


@given(rising_cuts(), NUMBERS, NUMBERS)
def test_bands_rise_with_the_value(cuts: list[Cut], one: Fraction, other: Fraction) -> None:
    low, high = sorted((one, other))
    bands = bands_of(cuts)
    assert band_at(bands, low) <= band_at(bands, high)


@given(rising_cuts(), NUMBERS, NUMBERS)
def test_shifting_everything_changes_nothing(
    cuts: list[Cut], value: Fraction, by: Fraction
) -> None:
    moved = [(word, number + by) for word, number in cuts]
    assert band_at(bands_of(cuts), value) == band_at(bands_of(moved), value + by)


@given(rising_cuts(), NUMBERS, NUMBERS.map(abs))
def test_close_exactly_when_the_interval_reaches_another_band(
    cuts: list[Cut], value: Fraction, half: Fraction
) -> None:
    bands = bands_of(cuts)
    placed = place(bands, Measured(volts(value), value - half, value + half), {}, {})
    low, here, high = (band_at(bands, value + by) for by in (-half, Fraction(0), half))
    assert placed.key == bands.keys[here]
    assert placed.neighbours == tuple(
        bands.keys[band] for band in range(low, high + 1) if band != here
    )
    assert placed.close is (low != high)


@given(rising_cuts())
def test_rising_cuts_are_proved_and_shown(cuts: list[Cut]) -> None:
    bands = bands_of(cuts)
    assert rises(bands, Box({}), {}) is None
    rows = window(bands, {}, {})
    assert [row.key for row in rows] == list(bands.keys)


@given(rising_cuts().filter(lambda cuts: len(cuts) > 1))
def test_cuts_out_of_order_are_refuted(cuts: list[Cut]) -> None:
    shuffled = list(reversed(cuts))
    crossing = rises(bands_of(shuffled), Box({}), {})
    assert crossing is not None
    assert "the cuts do not rise" in crossing.sentence
