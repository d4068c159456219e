"""Settings as values: what is understood, what is refused with a sentence, what is kept as JSON."""

from __future__ import annotations

import json
from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.meters import shipped_meters
from engine.session.folding import AWAY_AFTER
from engine.settings import (
    LEAST_AWAY,
    LONGEST,
    MOST_AWAY,
    SETTINGS,
    Degrees,
    Paper,
    Settings,
    SettingsError,
    as_json,
    changed,
    from_json,
    shown,
)

FIRST = Settings()


def with_all(pairs: Mapping[str, str]) -> Settings:
    settings = FIRST
    for name, text in pairs.items():
        settings = changed(settings, name, text)
    return settings


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("name", "  Dana   Ortiz ", "Dana Ortiz"),
        ("name", "Łukasz 山田", "Łukasz 山田"),
        ("firm", "Fieldside \x1b[31mCooling", "Fieldside [31mCooling"),
        ("licence", "C-0000", "C-0000"),
        ("meters", "basic, CLAMP", "basic, clamp"),
        ("meters", "1,3,1", "general, basic"),
        ("meter", "Basic", "basic"),
        ("degrees", "c", "C"),
        ("degrees", "°C", "C"),
        ("degrees", "1", "F"),
        ("paper", "a4", "A4"),
        ("paper", "Letter", "letter"),
        ("sun", "ON", "on"),
        ("sun", "2", "off"),
        ("away", "10", "10"),
        ("away", "10 min", "10"),
    ],
)
def test_a_setting_is_understood_as_typed(name: str, text: str, said: str) -> None:
    assert shown(changed(FIRST, name, text), name) == said


@pytest.mark.parametrize(
    ("name", "text", "sentence"),
    [
        ("papr", "A4", "There is no setting papr. Did you mean paper?"),
        ("license", "x", "There is no setting license. Did you mean licence?"),
        ("zzz", "x", "There is no setting zzz. There are name, firm, licence, "),
        ("paper", "A3", "paper can't be A3. It is one of letter, A4."),
        ("paper", "leter", "paper can't be leter. Did you mean letter?"),
        ("degrees", "K", "degrees can't be K. It is one of F, C."),
        ("meter", "clmp", "meter can't be clmp. Did you mean clamp?"),
        ("meters", "clamp, 9", "meters can't be 9. It is one of "),
        ("sun", "maybe", "sun can't be maybe. It is one of on, off."),
        ("away", "3", "away is a whole number of minutes, 5 to 30."),
        ("away", "31", "away is a whole number of minutes, 5 to 30."),
        ("away", "²", "away is a whole number of minutes, 5 to 30."),
        ("away", "-9", "away is a whole number of minutes, 5 to 30."),
        ("name", "x" * (LONGEST + 1), "name is longer than 80 characters."),
    ],
)
def test_what_a_setting_cannot_be_is_said_in_a_sentence(
    name: str, text: str, sentence: str
) -> None:
    with pytest.raises(SettingsError) as error:
        changed(FIRST, name, text)
    assert str(error.value).startswith(sentence)


def test_an_empty_text_brings_back_what_was_at_first() -> None:
    settings = with_all({"name": "Dana", "paper": "A4", "away": "5", "meters": "clamp"})
    for name in SETTINGS:
        settings = changed(settings, name, " ")
    assert settings == FIRST


def test_the_meter_in_use_is_always_in_the_bag() -> None:
    settings = with_all({"meters": "general, clamp"})
    assert settings.meter == "general"
    settings = changed(settings, "meter", "basic")
    assert settings.meters == ("general", "clamp", "basic")
    assert changed(settings, "meters", "clamp").meter == "clamp"


def test_a_meter_can_be_any_that_is_shipped() -> None:
    for name in shipped_meters().names():
        assert changed(FIRST, "meter", name).meter == name


def test_leaving_can_only_be_made_stricter_than_every_record_is_folded_with() -> None:
    assert AWAY_AFTER.total_seconds() == MOST_AWAY * 60 == FIRST.away * 60
    assert LEAST_AWAY < MOST_AWAY


@pytest.mark.parametrize("one", SETTINGS.values(), ids=lambda one: one.name)
def test_every_choice_that_is_offered_is_understood_by_its_word_and_its_number(one: object) -> None:
    setting = next(known for known in SETTINGS.values() if known is one)
    for number, choice in enumerate(setting.choices(), 1):
        by_word = changed(FIRST, setting.name, choice)
        assert shown(by_word, setting.name) == choice
        assert changed(FIRST, setting.name, str(number)) == by_word


# --- as JSON --------------------------------------------------------------------------------------

NAMES = st.text(st.characters(codec="utf-8", categories=["L", "N", "P"]), max_size=LONGEST)
METERS = st.lists(st.sampled_from(shipped_meters().names()), unique=True)


@st.composite
def some_settings(draw: st.DrawFn) -> Settings:
    meters = tuple(draw(METERS))
    return Settings(
        name=draw(NAMES),
        firm=draw(NAMES),
        meters=meters,
        meter=draw(st.sampled_from(meters)) if meters else "",
        degrees=draw(st.sampled_from(Degrees)),
        paper=draw(st.sampled_from(Paper)),
        sun=draw(st.booleans()),
        away=draw(st.integers(LEAST_AWAY, MOST_AWAY)),
        others=draw(st.dictionaries(st.sampled_from(["theme", "x"]), st.integers())),
    )


@given(some_settings())
def test_what_is_kept_is_read_again(settings: Settings) -> None:
    text = json.dumps(as_json(settings))
    assert from_json(json.loads(text)) == (settings, ())


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=9),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner),
    max_leaves=5,
)


@given(st.dictionaries(st.sampled_from([*SETTINGS, "newer"]), JSON))
def test_whatever_is_in_the_file_gives_settings_and_sentences(data: dict[str, object]) -> None:
    settings, wrong = from_json(data)
    assert all(sentence.endswith((".", "?")) for sentence in wrong)
    assert from_json(as_json(settings)) == (settings, ())
    assert ("newer" in data) == ("newer" in settings.others)


def test_what_is_wrong_leaves_the_rest() -> None:
    settings, wrong = from_json({"name": "Dana", "paper": "A9", "sun": "perhaps", "away": 10})
    assert (settings.name, settings.paper, settings.away) == ("Dana", Paper.LETTER, 10)
    assert [sentence.split()[0] for sentence in wrong] == ["paper", "sun"]
