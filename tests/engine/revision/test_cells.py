"""Ranges of readings that end elsewhere, against every single reading judged by itself."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from engine.bands import Bands, place, read_bands
from engine.formula import Between, Box, Measured, OneOf
from engine.quantity import Kind, Quantity, literal
from engine.revision.cells import Keys, Range, ranges
from engine.trade.catalogue import FIGURES

NO_PLATE = (Box({}),)


def bands(*keys: str) -> Bands:
    read, misfits = read_bands([*keys, "otherwise"], FIGURES)
    assert not misfits
    return read


def changed(keys: Keys) -> Keys | None:
    """Tell only whether a reading lies above the one cut: before, and now."""
    return keys if (keys[0] == "otherwise") != (keys[1] == "otherwise") else None


def found(old: Bands, new: Bands, boxes: tuple[Box, ...] = NO_PLATE) -> list[Range[Keys]]:
    return list(ranges(old, new, boxes, changed, str))


# --- what is told ---------------------------------------------------------------------------------


def test_a_cut_that_moved_is_told_with_both_its_ends() -> None:
    (one,) = found(bands("below 20.4 V"), bands("below 21 V"))
    assert (one.where, one.change) == ("20.4 V to 21 V", ("otherwise", "below 21 V"))


def test_a_cut_that_takes_its_own_value_in_moves_that_value_only() -> None:
    (one,) = found(bands("below 5 V"), bands("up to 5 V"))
    assert one.where == "exactly 5 V"


def test_a_cut_of_the_nameplate_is_told_as_written_with_one_nameplate() -> None:
    box = Box({"rated": Between(literal("200 V"), literal("240 V"))})
    (one,) = found(bands("below 63 % of rated"), bands("below 65 % of rated"), (box,))
    assert one.where == "63 % of rated to 65 % of rated"
    assert one.example == "126 V to 130 V with rated 200 V"


def test_cuts_that_change_places_on_some_nameplates_are_told_for_both_sides() -> None:
    # 85 % of the rating is below 30 V for 24 V and above it for 48 V.
    box = Box({"rated": OneOf((literal("24 V"), literal("48 V")))})
    told = {one.where for one in found(bands("below 85 % of rated"), bands("below 30 V"), (box,))}
    assert told == {"85 % of rated to 30 V", "30 V to 85 % of rated"}


def test_no_cut_at_all_against_one() -> None:
    (one,) = found(bands(), bands("below 5 V"))
    assert one.where == "below 5 V"


# --- against each reading by itself ---------------------------------------------------------------

CUTS = st.lists(
    st.tuples(st.sampled_from(["below", "up to"]), st.integers(min_value=1, max_value=12)),
    min_size=0,
    max_size=4,
    unique_by=lambda one: one[1],
).map(
    lambda several: bands(*(f"{word} {at} V" for word, at in sorted(several, key=lambda o: o[1])))
)


def within(where: str, value: Fraction) -> bool:
    """Return whether a range holds a value that is at none of its ends."""
    first, _, last = where.partition(" to ")
    if last:
        return literal(first).value < value < literal(last).value
    word, _, end = first.partition(" ")
    if where == "any value":
        return True
    end_value = literal(end).value
    return {"below": value < end_value, "above": value > end_value}.get(word, value == end_value)


@given(CUTS, CUTS)
def test_a_reading_is_in_a_range_exactly_when_its_answer_changed(old: Bands, new: Bands) -> None:
    told = list(ranges(old, new, NO_PLATE, lambda keys: keys if keys[0] != keys[1] else None, str))
    for halves in range(1, 28):
        value = Fraction(halves, 2)
        reading = Measured.sure(Quantity(value, Kind.VOLTAGE))
        before, after = (place(one, reading, {}, FIGURES).key for one in (old, new))
        inside = [one for one in told if within(one.where, value)]
        if halves % 2:
            # No cut lies on a half: the value is inside of one range, or of none.
            assert [one.change for one in inside] == [(before, after)] * (before != after)
        elif inside:
            assert {one.change for one in inside} == {(before, after)}
