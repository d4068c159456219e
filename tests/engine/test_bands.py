"""Bands: keys read, order held, values placed, cuts at their exact place, windows shown."""

from __future__ import annotations

import pytest

from engine.bands import Bands, check_kinds, parse_key, place, read_bands, unsaid, window
from engine.formula import FormulaError, Measured, Value, Words
from engine.quantity import Kind, literal
from engine.reading import Special
from tests.engine.sample_figures import SAMPLES, about, sure


def bands(*keys: str) -> Bands:
    read, misfits = read_bands(keys, SAMPLES)
    assert not misfits
    return read


def placed(text: str, value: Value, *keys: str, **values: Value) -> str:
    got = place(bands(*keys), value, values, SAMPLES)
    assert got.close is (text.startswith("close "))
    return got.key


CAPACITOR = ("below low", "up to high", "otherwise", "OL")
COIL = ("below 85 % of 24 V", "up to 110 % of 24 V", "otherwise")


# --- keys -----------------------------------------------------------------------------------------


def test_reads_keys_in_file_order() -> None:
    read = bands("below 2 ohm", "up to 20 ohm", "otherwise", "OL", "unsteady", "can't read")
    assert [cut.words for cut in read.cuts] == ["below", "up to"]
    assert read.specials == (Special.OL, Special.UNSTEADY, Special.CANT_READ)
    assert read.keys == ("below 2 ohm", "up to 20 ohm", "otherwise", "OL", "unsteady", "can't read")
    assert bands(*CAPACITOR).names() == {"low", "high"}


def test_a_key_that_is_no_band_is_refused_at_its_column() -> None:
    with pytest.raises(FormulaError, match="'above 5 V' is not a band") as caught:
        parse_key("above 5 V", SAMPLES)
    assert "up to Q" in caught.value.fix
    with pytest.raises(FormulaError, match="is not used in a formula") as caught:
        parse_key("up to a * b", SAMPLES)
    assert caught.value.column == len("up to a ") + 1


@pytest.mark.parametrize(
    ("keys", "key", "sentence"),
    [
        (("otherwise", "below 5 V"), "below 5 V", "out of order"),
        (("below 5 V", "OL", "otherwise"), "otherwise", "out of order"),
        (("below 5 V", "otherwise", "otherwise"), "otherwise", "there twice"),
        (("below 5 V", "below 5 V", "otherwise"), "below 5 V", "there twice"),
        (("below 5 V", "OL"), "OL", "Nothing is said of readings above"),
        ((), "", "Nothing is said of readings above"),
        (("below 5", "otherwise"), "below 5", "'5' has no unit."),
        (("othrwise", "otherwise"), "othrwise", "is not a band"),
    ],
)
def test_says_what_is_wrong_with_a_key(keys: tuple[str, ...], key: str, sentence: str) -> None:
    _, misfits = read_bands(keys, SAMPLES)
    assert [misfit.key for misfit in misfits] == [key]
    assert sentence in misfits[0].sentence
    assert misfits[0].fix


def test_says_everything_wrong_in_one_run() -> None:
    _, misfits = read_bands(("otherwise", "below 5", "blow 3 V", "up to 3 V"), SAMPLES)
    assert {misfit.key for misfit in misfits} == {"below 5", "blow 3 V", "up to 3 V"}


def test_volts_are_not_compared_with_ohms() -> None:
    known = {"low": Kind.CAPACITANCE, "high": Kind.VOLTAGE}
    (misfit,) = check_kinds(bands(*CAPACITOR), Kind.CAPACITANCE, known, SAMPLES)
    assert misfit.key == "up to high"
    assert misfit.sentence == "What is judged is capacitance, and this cut is voltage."
    assert misfit.column == len("up to ") + 1
    (misfit,) = check_kinds(bands(*CAPACITOR), Words(("good",)), known, SAMPLES)
    assert "this is a word" in misfit.sentence
    (misfit,) = check_kinds(
        bands("up to word of spread(1 V, 2 V)", "otherwise"), Kind.VOLTAGE, {}, SAMPLES
    )
    assert "this cut is a word" in misfit.sentence
    (misfit,) = check_kinds(bands("up to 1 V plus 1 A", "otherwise"), Kind.VOLTAGE, {}, SAMPLES)
    assert misfit.column == len("up to 1 V ") + 1


def test_over_range_must_be_said_for_capacitance_only() -> None:
    silent = bands("up to 5 uF", "otherwise")
    assert unsaid(silent, Kind.CAPACITANCE) == (Special.OL,)
    assert unsaid(bands(*CAPACITOR), Kind.CAPACITANCE) == ()
    assert unsaid(silent, Kind.RESISTANCE) == ()


# --- placing --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("read", "key"),
    [
        ("20.39 V", "below 85 % of 24 V"),
        ("20.4 V", "up to 110 % of 24 V"),  # half open: 20.4 is not below 20.4
        ("20.41 V", "up to 110 % of 24 V"),
        ("26.4 V", "up to 110 % of 24 V"),
        ("26.41 V", "otherwise"),
        ("0 V", "below 85 % of 24 V"),
    ],
)
def test_a_cut_is_at_its_exact_place(read: str, key: str) -> None:
    # NEMA ICS 2 (from memory): a coil pulls in from 85 % and takes 110 % of its rated volts
    assert placed("clear", sure(read), *COIL) == key


def test_49_uf_on_a_50_uf_can_is_good() -> None:
    # common practice, no source: 6 % either way of the mark on the can
    limits: dict[str, Value] = {"low": sure("47 uF"), "high": sure("53 uF")}
    assert placed("clear", sure("49 uF"), *CAPACITOR, **limits) == "up to high"


@pytest.mark.parametrize(
    ("read", "give", "neighbours"),
    [
        ("20.3 V", "0.05 V", ()),
        ("20.3 V", "0.1 V", ("up to 110 % of 24 V",)),  # reaches 20.4, which is not below
        ("20.4 V", "0 V", ()),
        ("20.5 V", "0.1 V", ()),  # reaches 20.4, which is in its own band
        ("20.5 V", "0.11 V", ("below 85 % of 24 V",)),
        ("26.3 V", "0.1 V", ()),
        ("26.5 V", "0.1 V", ("up to 110 % of 24 V",)),
        ("23 V", "5 V", ("below 85 % of 24 V", "otherwise")),
    ],
)
def test_too_close_to_call(read: str, give: str, neighbours: tuple[str, ...]) -> None:
    got = place(bands(*COIL), about(read, give), {}, SAMPLES)
    assert got.neighbours == neighbours
    assert got.close is bool(neighbours)


def test_a_cut_that_rests_on_readings_has_doubt_of_its_own() -> None:
    supply: dict[str, Value] = {"supply": about("200 V", "2 V")}
    keys = ("below supply less 5 %", "otherwise")
    assert place(bands(*keys), sure("191 V"), supply, SAMPLES).close
    assert place(bands(*keys), sure("187 V"), supply, SAMPLES).key == keys[0]
    assert not place(bands(*keys), sure("187 V"), supply, SAMPLES).close


@pytest.mark.parametrize(
    ("special", "keys", "key"),
    [
        (Special.OL, ("below 1 Mohm", "otherwise"), "otherwise"),
        (Special.OL, ("below 1 Mohm", "otherwise", "OL"), "OL"),
        (Special.OL, ("below 5 V", "otherwise"), "OL"),
        (Special.OL, CAPACITOR, "OL"),
        (Special.UNSTEADY, ("below 1 Mohm", "otherwise"), "unsteady"),
        (Special.CANT_READ, ("below 1 Mohm", "otherwise", "can't read"), "can't read"),
    ],
)
def test_what_a_meter_says_instead_of_a_number(
    special: Special, keys: tuple[str, ...], key: str
) -> None:
    assert place(bands(*keys), special, {}, SAMPLES).key == key


@pytest.mark.parametrize(
    ("value", "keys", "sentence"),
    [
        (sure("5 ohm"), ("up to 5 V", "otherwise"), "is voltage, the reading resistance"),
        ("good", ("up to 5 V", "otherwise"), "Bands judge one number"),
        (sure("5 V"), ("up to open", "otherwise"), "'up to open' can't be worked out"),
        (sure("5 V"), ("up to 5 V", "below a", "otherwise"), "The bands cross for this nameplate"),
        (sure("5 V"), ("up to 5 V over (1 times less 1 times)", "otherwise"), "worked out"),
    ],
)
def test_no_band_is_made_up(value: Value, keys: tuple[str, ...], sentence: str) -> None:
    values: dict[str, Value] = {"open": Special.OL, "a": sure("5 V")}
    with pytest.raises(FormulaError) as caught:
        place(bands(*keys), value, values, SAMPLES)
    assert sentence in caught.value.sentence


def test_a_cut_without_a_value_yet_is_said_by_name() -> None:
    with pytest.raises(KeyError, match="low"):
        place(bands(*CAPACITOR), sure("45 uF"), {}, SAMPLES)


def test_bands_without_a_cut_hold_every_number() -> None:
    read = bands("otherwise", "OL")
    assert place(read, sure("5 ohm"), {}, SAMPLES).key == "otherwise"
    assert place(read, Special.OL, {}, SAMPLES).key == "OL"


# --- windows --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("keys", "rows"),
    [
        (CAPACITOR, ("below 42.3 uF", "42.3 to 47.7 uF", "above 47.7 uF", "OL")),
        (("up to 20 ohm", "otherwise"), ("up to 20 ohm", "above 20 ohm")),
        (
            ("below 5 V", "below 20 V", "otherwise"),
            ("below 5 V", "5 to below 20 V", "20 V and above"),
        ),
        (
            ("up to 5 V", "up to 20 V", "otherwise", "can't read"),
            ("up to 5 V", "above 5 to 20 V", "above 20 V", "can't read"),
        ),
        (
            ("below 50 kohm", "up to 1 Mohm", "otherwise"),
            ("below 50 kohm", "50 kohm to 1 Mohm", "above 1 Mohm"),
        ),
        (
            ("below 10 F apart", "up to 22 F apart", "otherwise"),
            ("below 10 F apart", "10 to 22 F apart", "above 22 F apart"),
        ),
        (("otherwise", "OL"), ("any value", "OL")),
    ],
)
def test_window(keys: tuple[str, ...], rows: tuple[str, ...]) -> None:
    values: dict[str, Value] = {"low": sure("42.3 uF"), "high": sure("47.7 uF")}
    got = window(bands(*keys), values, SAMPLES)
    assert tuple(row.text for row in got) == rows
    assert tuple(row.key for row in got) == keys


def test_a_window_in_celsius() -> None:
    temperatures = window(bands("below 32 F", "up to 50 F", "otherwise"), {}, SAMPLES, "C")
    assert [row.text for row in temperatures] == ["below 0 C", "0 to 10 C", "above 10 C"]
    apart = window(bands("below 9 F apart", "up to 18 F apart", "otherwise"), {}, SAMPLES, "C")
    assert apart[1].text == "5 to 10 C apart"


def test_a_window_of_crossing_cuts_is_not_shown() -> None:
    values: dict[str, Value] = {"low": sure("48 uF"), "high": sure("47.7 uF")}
    with pytest.raises(FormulaError, match="'below low' ends at 48 uF, 'up to high' at"):
        window(bands(*CAPACITOR), values, SAMPLES)


def test_a_sure_reading_is_placed_as_it_is() -> None:
    volts = literal("24 V")
    assert place(bands(*COIL), Measured.sure(volts), {}, SAMPLES).key == COIL[1]
