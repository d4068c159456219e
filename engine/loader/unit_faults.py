"""The faults and readings of a unit file: what is written to changes of the circuit's numbers."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from engine.loader.building import Building, Names, names, offer, text, texts
from engine.loader.document import Path
from engine.loader.wording import shown
from engine.quantity import Kind, literal
from engine.reading import FUNCTION_KIND, Function
from engine.unit.assembly import Bridge
from engine.unit.faults import Change, Fault, Stated
from engine.unit.netlist import OPEN

SHORT = 0.02
"""Ohms of a short that the file gives none for."""
TURNS_SHORT = 0.01
GROUNDED = 0.1
_SHORT_PRIMARY = 3.0
"""Ohms left of a winding that has burnt together, by what a transformer is when it has."""
_KINDS_OF = {"ohms": Kind.RESISTANCE, "uf": Kind.CAPACITANCE}
_READING = re.compile(
    r"(?P<function>[a-z -]+?) (?P<points>[a-z_]+[A-Za-z0-9_.]*(?: to [A-Za-z0-9_.]+)?)"
)
_EVERY_LEG = "service.volts"


@dataclass(frozen=True, slots=True)
class Written:
    """One change of a fault, as written."""

    data: Names
    path: Path

    @property
    def becomes(self) -> str:
        """What it becomes."""
        return text(self.data, "becomes")

    @property
    def ends(self) -> tuple[str, ...]:
        """The two terminals it joins, if it joins some."""
        return texts(self.data, "between")

    @property
    def at(self) -> str:
        """What it changes, if it changes something that is there."""
        return text(self.data, "at")


def written_changes(faults: Names) -> Iterator[Written]:
    """Yield every change of every fault."""
    for name, said in faults.items():
        data, path = names(said), ("faults", name)
        if "at" in data or "between" in data or "becomes" in data:
            yield Written(data, path)
        more = data.get("and")
        for place, one in enumerate(more if isinstance(more, list) else []):
            yield Written(names(one), (*path, "and", place))


def tapped_windings(faults: Names) -> frozenset[str]:
    """Return the windings that some fault is inside of."""
    inside = ("grounded", "shorted turns")
    return frozenset(one.at for one in written_changes(faults) if one.becomes in inside)


def bridges_of(file: Building, faults: Names, terminals: Collection[str]) -> tuple[Bridge, ...]:
    """Return where faults join terminals; a problem for what is no terminal."""
    found: dict[str, Bridge] = {}
    for one in written_changes(faults):
        if len(one.ends) != 2:
            continue
        for place, end in enumerate(one.ends):
            if end not in terminals:
                path = (*one.path, "between", place)
                file.say(
                    "unknown-terminal",
                    path,
                    f"There is no terminal {shown(end)}.",
                    offer(end, terminals),
                )
                break
        else:
            bridge = Bridge(one.ends[0], one.ends[1], _volts(file, one))
            found[bridge.name] = bridge
    return tuple(found.values())


def _volts(file: Building, one: Written) -> float:
    if "above" not in one.data:
        return 0.0
    found = file.quantity(one.data, one.path, "above", Kind.VOLTAGE)
    return float(found.value) if found else 0.0


@dataclass(frozen=True, slots=True)
class Known:
    """What a fault can name."""

    params: Mapping[str, float]
    """Every number of the circuit and its nominal value."""
    suspects: Collection[str]
    signs: Collection[str]
    devices: Collection[str]
    points: Collection[str]
    fields: Collection[str]
    """Questions about the nameplate that the unit answers."""


def build_faults(file: Building, faults: Names, known: Known) -> Mapping[str, Fault]:
    """Return the faults of a file by name, and keep what is wrong with them."""
    changes: dict[str, list[Change]] = {}
    for one in written_changes(faults):
        name = str(one.path[1])
        changes.setdefault(name, []).extend(_changes(file, one, known))
    return {
        name: _fault(file, name, names(said), tuple(changes.get(name, ())), known)
        for name, said in faults.items()
    }


def _fault(
    file: Building, name: str, data: Names, changes: tuple[Change, ...], known: Known
) -> Fault:
    path = ("faults", name)
    suspect = text(data, "suspect")
    if suspect not in known.suspects:
        file.unknown("suspect", suspect, known.suspects, (*path, "suspect"))
    kinds = texts(data, "kind of")
    for wider in kinds:
        if wider not in known.suspects:
            file.unknown("suspect", wider, known.suspects, (*path, "kind of"))
    signs = {key: text(names(data.get("signs")), key) for key in names(data.get("signs"))}
    for sign in signs:
        if sign not in known.signs:
            file.unknown_key("sign", sign, known.signs, (*path, "signs", sign))
    found = {key: text(names(data.get("found")), key) for key in names(data.get("found"))}
    for device in found:
        if device not in known.devices:
            file.unknown_key("device", device, known.devices, (*path, "found", device))
    reads = build_stated(file, names(data.get("reads")), (*path, "reads"), known.points)
    running = text(data, "strikes") == "while running"
    said = names(data.get("nameplate"))
    for field in said:
        if field not in known.fields:
            sentence = f"There is no nameplate field {shown(field)}."
            file.say_key(
                "unknown-name", (*path, "nameplate", field), sentence, offer(field, known.fields)
            )
    plate = {field: texts(said, field) for field in said}
    return Fault(name, suspect, changes, signs, found, plate, reads, kinds, running)


def _changes(file: Building, one: Written, known: Known) -> list[Change]:
    """Return what one change comes to; a problem where it comes to nothing."""
    try:
        return _comes_to(one, known.params)
    except KeyError:
        things = sorted({name.rpartition(" ")[0] or name for name in known.params})
        sentence = f"Nothing in the unit is called {shown(one.at)}."
        file.say("unknown-piece", (*one.path, "at"), sentence, offer(one.at, things))
    except ValueError as error:
        fix = "Write open, shorted, welded, locked, grounded, shorted turns, or a quantity."
        file.say("bad-change", (*one.path, "becomes"), str(error), fix)
    return []


def _comes_to(one: Written, params: Mapping[str, float]) -> list[Change]:
    at, word = one.at, one.becomes
    if one.ends:
        return _bridged(one, params)
    if at == _EVERY_LEG:
        legs = [name for name in params if name.startswith(f"{_EVERY_LEG}.")]
        return [Change(leg, _share(word), times=True) for leg in legs]
    if not any(name == at or name.startswith((f"{at} ", f"{at}.short ")) for name in params):
        raise KeyError(at)
    if at in params:
        return [_number(at, word)]
    match word:
        case "open":
            return [_set(params, f"{at} ohms", OPEN)]
        case "shorted":
            primary = at.endswith(".primary")
            return [_set(params, f"{at}.short ohms", _SHORT_PRIMARY if primary else SHORT)]
        case "welded":
            return [_set(params, f"{at} weld", 1.0)]
        case "locked":
            return [_set(params, f"{at} locked", 1.0)]
        case "grounded":
            through = _quantity(text(one.data, "through"), Kind.RESISTANCE, GROUNDED)
            return [
                _set(params, f"{at}.to ground ohms", through),
                _set(params, f"{at} tap", _where(one)),
            ]
        case "shorted turns":
            return [
                _set(params, f"{at}.across turns ohms", TURNS_SHORT),
                _set(params, f"{at} tap", 1 - _where(one)),
            ]
    return [_quantified(at, word, params)]


def _bridged(one: Written, params: Mapping[str, float]) -> list[Change]:
    above = literal(text(one.data, "above")).value if "above" in one.data else 0
    name = f"{Bridge(one.ends[0], one.ends[1], float(above)).name} ohms"
    if name not in params:
        return []  # one of its ends is no terminal: said already
    ohms = SHORT if one.becomes == "shorted" else _quantity(one.becomes, Kind.RESISTANCE)
    return [Change(name, ohms)]


def _quantified(at: str, word: str, params: Mapping[str, float]) -> Change:
    found = literal(word)
    if found.kind is Kind.PERCENT:
        key = next(f"{at} {key}" for key in ("uf", "ohms", "load") if f"{at} {key}" in params)
        return Change(key, float(found.value) / 100, times=True)
    for key, kind in _KINDS_OF.items():
        if f"{at} {key}" in params and found.kind is kind:
            return Change(f"{at} {key}", float(found.value))
    raise ValueError(f"{at} cannot become {word}.")


def _set(params: Mapping[str, float], name: str, value: float) -> Change:
    if name not in params:
        raise ValueError(f"{name.rpartition(' ')[0]} cannot become that.")
    return Change(name, value)


def _number(at: str, word: str) -> Change:
    """Return another value of a rating: a quantity, or a percent of its own."""
    found = literal(word)
    if found.kind is Kind.PERCENT:
        return Change(at, float(found.value) / 100, times=True)
    return Change(at, float(found.value))


def _share(word: str) -> float:
    return _quantity(word, Kind.PERCENT) / 100


def _quantity(word: str, kind: Kind, otherwise: float | None = None) -> float:
    if not word and otherwise is not None:
        return otherwise
    found = literal(word)
    if found.kind is not kind:
        raise ValueError(f"{word} is a {found.kind}, and a {kind} belongs here.")
    return float(found.value)


def _where(one: Written) -> float:
    word = text(one.data, "where")
    if word in ("", "halfway"):
        return 0.5 if one.becomes == "grounded" else 0.1
    return min(max(_share(word), 0.02), 0.98)


# --- readings -------------------------------------------------------------------------------------


def reading_of(
    file: Building, key: str, path: Path, points: Collection[str]
) -> tuple[Function, tuple[str, ...]] | None:
    """Return the function and points that a name of a reading says, or keep a problem."""
    found = _READING.fullmatch(key)
    if found is None or found["function"] not in list(Function):
        sentence = f"{shown(key)} is no reading."
        fix = "Write volts contactor.L1 to ground, or clamp amps contactor.L1."
        file.say_key("bad-reading", path, sentence, fix)
        return None
    named = tuple(found["points"].split(" to "))
    for point in named:
        if point not in points:
            file.unknown_key("point", point, points, path)
            return None
    return Function(found["function"]), named


def build_stated(
    file: Building, data: Names, path: Path, points: Collection[str]
) -> tuple[Stated, ...]:
    """Return the readings that are stated."""
    found = []
    for key in data:
        meant = reading_of(file, key, (*path, key), points)
        if meant is None:
            continue
        function, named = meant
        value = file.quantity(data, path, key, FUNCTION_KIND[function])
        if value is not None:
            found.append(Stated(str(function), named, float(value.value)))
    return tuple(found)
