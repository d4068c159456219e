"""What a technician is asked once: who, which meters, °F or °C, paper; each can be left out.

A setting is given as a text, on the command line or at a question, and kept as JSON. What is not
understood is a `SettingsError` with a sentence. Names that this version does not know are kept.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from enum import StrEnum
from types import MappingProxyType

from engine.meters import shipped_meters
from engine.quantity import CELSIUS, FAHRENHEIT
from engine.reading import visible


class Degrees(StrEnum):
    """What temperatures are shown in, and what a bare one is typed in."""

    F = FAHRENHEIT
    C = CELSIUS


class Paper(StrEnum):
    """The sheet that a report is printed on; CSS has the same names."""

    LETTER = "letter"
    A4 = "A4"


LEAST_AWAY, MOST_AWAY = 5, 30
"""Minutes without an entry that may count as having left the work (judgement). The most is what
every record is folded with, so that a setting can only make it stricter."""
LONGEST = 80
"""Characters of a name, a firm, a licence."""
_ON_OFF = ("on", "off")


class SettingsError(ValueError):
    """What is wrong with a setting, in one sentence."""


@dataclass(frozen=True, slots=True)
class Settings:
    """What was answered once; what was skipped is empty, or as most need it."""

    name: str = ""
    firm: str = ""
    licence: str = ""
    meters: tuple[str, ...] = ()
    """Names of `engine.meters` that are in the bag."""
    meter: str = ""
    """The one in use; empty for the table's default."""
    degrees: Degrees = Degrees.F
    paper: Paper = Paper.LETTER
    sun: bool = False
    """The theme for bright sun."""
    away: int = MOST_AWAY
    """Minutes without an entry after which the work counts as having been left."""
    others: Mapping[str, object] = field(default_factory=dict)
    """What a newer version keeps here."""


_AT_FIRST = Settings()


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting: how it is asked for, how a text of it is understood."""

    name: str
    question: str
    read: Callable[[Settings, str], Settings]
    """Return the settings with it changed; raises SettingsError."""
    choices: Callable[[], tuple[str, ...]] = tuple
    """What it can be, where that is a list; its numbers are understood, too."""


def changed(settings: Settings, name: str, text: str) -> Settings:
    """Return the settings with one changed; an empty text brings back what was there at first.

    Raises SettingsError for a name that is none, and for what it can't be.
    """
    if name not in SETTINGS:
        near = get_close_matches(name.casefold(), SETTINGS, 1)
        hint = f"Did you mean {near[0]}?" if near else f"There are {', '.join(SETTINGS)}."
        raise SettingsError(f"There is no setting {visible(name)}. {hint}")
    text = " ".join(text.split())
    if not text:
        return replace(settings, **{name: getattr(_AT_FIRST, name)})
    return SETTINGS[name].read(settings, text)


def shown(settings: Settings, name: str) -> str:
    """Return a setting as it would be typed; empty where it was skipped."""
    return _text(getattr(settings, name))


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "on" if value else "off"
    if isinstance(value, list | tuple):
        return ", ".join(map(str, value))
    return str(value)


# --- as JSON --------------------------------------------------------------------------------------


def as_json(settings: Settings) -> dict[str, object]:
    """Return the settings as plain data, what is not known here behind the rest."""
    known = {name: getattr(settings, name) for name in SETTINGS}
    return {**known, "meters": list(settings.meters), **settings.others}


def from_json(data: Mapping[str, object]) -> tuple[Settings, tuple[str, ...]]:
    """Return the settings of plain data, and a sentence for each that is not understood."""
    settings = Settings(others={name: data[name] for name in data if name not in SETTINGS})
    wrong = []
    for name in SETTINGS:
        try:
            settings = changed(settings, name, _as_typed(name, data.get(name, "")))
        except SettingsError as error:
            wrong.append(str(error))
    return settings, tuple(wrong)


def _as_typed(name: str, value: object) -> str:
    """Return a kept value as it would be typed."""
    if not isinstance(value, type(getattr(_AT_FIRST, name)) | str | list):
        raise SettingsError(f"{name} can't be {visible(str(value)[:LONGEST])}.")
    return _text(value)


# --- each setting ---------------------------------------------------------------------------------


def _named(name: str) -> Callable[[Settings, str], Settings]:
    def read(settings: Settings, text: str) -> Settings:
        if len(text) > LONGEST:
            raise SettingsError(f"{name} is longer than {LONGEST} characters.")
        shown = "".join(char for char in text if char.isprintable()).strip()
        return replace(settings, **{name: shown})  # type: ignore[arg-type]

    return read


def _one_of(name: str, text: str, choices: tuple[str, ...]) -> str:
    """Return the choice that a text names, whatever its case, or by its number."""
    said = text.casefold().removeprefix("°")
    for number, choice in enumerate(choices, 1):
        if said in (choice.casefold(), str(number)):
            return choice
    near = get_close_matches(said, choices, 1)
    hint = f"Did you mean {near[0]}?" if near else f"It is one of {', '.join(choices)}."
    raise SettingsError(f"{name} can't be {visible(text)}. {hint}")


def _known_meters() -> tuple[str, ...]:
    return shipped_meters().names()


def _meters(settings: Settings, text: str) -> Settings:
    """Take the meters in the bag, with commas between; the one in use is one of them."""
    known = _known_meters()
    bag = tuple(dict.fromkeys(_one_of("meters", one.strip(), known) for one in text.split(",")))
    return replace(settings, meters=bag, meter=settings.meter if settings.meter in bag else bag[0])


def _meter(settings: Settings, text: str) -> Settings:
    """Take the meter in use, which then is in the bag as well."""
    meter = _one_of("meter", text, _known_meters())
    bag = settings.meters
    return replace(settings, meter=meter, meters=bag if meter in bag else (*bag, meter))


def _degrees(settings: Settings, text: str) -> Settings:
    return replace(settings, degrees=Degrees(_one_of("degrees", text, tuple(Degrees))))


def _paper(settings: Settings, text: str) -> Settings:
    return replace(settings, paper=Paper(_one_of("paper", text, tuple(Paper))))


def _sun(settings: Settings, text: str) -> Settings:
    return replace(settings, sun=_one_of("sun", text, _ON_OFF) == "on")


def _away(settings: Settings, text: str) -> Settings:
    minutes = text.casefold().removesuffix("minutes").removesuffix("min").strip()
    known = minutes.isascii() and minutes.isdigit() and len(minutes) <= len(str(MOST_AWAY))
    if not known or not LEAST_AWAY <= int(minutes) <= MOST_AWAY:
        raise SettingsError(f"away is a whole number of minutes, {LEAST_AWAY} to {MOST_AWAY}.")
    return replace(settings, away=int(minutes))


SETTINGS: Mapping[str, Setting] = MappingProxyType(
    {
        one.name: one
        for one in (
            Setting("name", "Your name", _named("name")),
            Setting("firm", "Your firm", _named("firm")),
            Setting("licence", "Licence number", _named("licence")),
            Setting("meters", "Meters in the bag", _meters, _known_meters),
            Setting("meter", "Meter in use", _meter, _known_meters),
            Setting("degrees", "Degrees", _degrees, lambda: tuple(Degrees)),
            Setting("paper", "Paper of the report", _paper, lambda: tuple(Paper)),
            Setting("sun", "Screen for bright sun", _sun, lambda: _ON_OFF),
            Setting("away", "Minutes without an entry that count as leaving", _away),
        )
    }
)
"""Every setting, in the order of asking."""
