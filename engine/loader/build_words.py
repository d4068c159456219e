"""The vocabulary, and nameplate fields, which a tree may add to."""

from __future__ import annotations

from engine.loader.build_answer import target
from engine.loader.building import Building, Names, names, offer, text, texts
from engine.loader.document import Data, Path
from engine.loader.wording import shown
from engine.quantity import Kind, Quantity, base_unit
from engine.vocabulary import Field, Point, Vocabulary

_VOLTS_MARKING = "volts marking"
_UNREADABLE_DEFAULT = "default"


def build_vocabulary(file: Building, data: Names) -> Vocabulary:
    """Return the words that all trees share."""
    return Vocabulary(
        points={name: _point(name, what) for name, what in names(data.get("points")).items()},
        sets={name: _set(what) for name, what in names(data.get("sets")).items()},
        fields=build_fields(file, names(data.get("nameplate")), ("nameplate",)),
        suspects=_titles(data.get("suspects")),
        signs=_titles(data.get("signs")),
    )


def _titles(data: Data | None) -> dict[str, str]:
    return {name: title for name, title in names(data).items() if isinstance(title, str)}


def _point(name: str, what: Data) -> Point:
    if isinstance(what, str):
        return Point(name, what)
    data = names(what)
    return Point(name, text(data, "title"), text(data, "box"), text(data, "zone"))


def _set(what: Data) -> dict[str, tuple[str, ...]]:
    by_phases = names(what)
    return {phases: texts(by_phases, phases) for phases in by_phases}


def build_fields(file: Building, data: Names, path: Path) -> dict[str, Field]:
    """Return the nameplate questions below a key."""
    return {name: _field(file, name, names(one), (*path, name)) for name, one in data.items()}


def _field(file: Building, name: str, data: Names, path: Path) -> Field:
    marking = text(data, "form") == _VOLTS_MARKING
    said = text(data, "quantity")
    kind = Kind.VOLTAGE if marking else Kind(said) if said in list(Kind) else None
    many = "any of" in data
    low, high = file.quantity(data, path, "from", kind), file.quantity(data, path, "to", kind)
    if low and high and low.value > high.value:
        sentence = f"{text(data, 'to')} is less than {text(data, 'from')}."
        file.say("bad-quantity", (*path, "to"), sentence, "Write the smaller one at from.")
    return Field(
        name=name,
        ask=text(data, "ask"),
        kind=kind,
        unit=_unit(data, kind),
        words=texts(data, "any of" if many else "one of"),
        many=many,
        volts_marking=marking,
        low=low,
        high=high,
        usual=_usual(file, data, path, kind),
        at_least=text(data, "at least"),
        default=_default(file, data, path, kind),
        condition=file.condition(data, path),
        if_unreadable=_if_unreadable(file, data, path),
        span=file.document.key(*path),
    )


def _unit(data: Names, kind: Kind | None) -> str:
    """Return the unit that a bare number takes: that of the least allowed, else the kind's own."""
    if kind is None:
        return ""
    unit = text(data, "from").partition(" ")[2]
    return unit.strip() or base_unit(kind).symbol


def _usual(
    file: Building, data: Names, path: Path, kind: Kind | None
) -> tuple[Quantity, Quantity] | None:
    ends = texts(data, "usual")
    if len(ends) != 2:
        return None
    low, high = (file.quantity_of(end, (*path, "usual", at), kind) for at, end in enumerate(ends))
    return (low, high) if low and high else None


def _default(file: Building, data: Names, path: Path, kind: Kind | None) -> str:
    """Return the answer taken by default, which must be one that can be given."""
    default = text(data, "default")
    words = texts(data, "one of") or texts(data, "any of")
    if kind and text(data, "form") != _VOLTS_MARKING:
        file.quantity(data, path, "default", kind)
    elif default and words and default not in words:
        sentence = f"{shown(default)} is not one of the answers."
        file.say("unknown-word", (*path, "default"), sentence, offer(default, words))
    return default


def _if_unreadable(file: Building, data: Names, path: Path) -> str:
    if text(data, "if unreadable") == _UNREADABLE_DEFAULT:
        return _UNREADABLE_DEFAULT
    return target(file, data, path, "if unreadable")
