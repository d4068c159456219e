"""The parts and the wiring of a unit file: from what is written to what the circuit is made of.

A wire is written as a finger traces it: ``breaker.conductor.L1 -> 70 ft of 8 AWG copper ->
disconnect.line.L1``. A part with two ends may stand in a run by its name alone.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from engine.loader.building import Building, Names, names, offer, text, texts
from engine.loader.document import Path
from engine.loader.wording import listed, shown
from engine.quantity import Kind, literal
from engine.trade.table import table
from engine.unit.assembly import Supply, Wire
from engine.unit.part import PartKind, Placed, Setting, Value
from engine.unit.parts import PARTS
from engine.unit.services import SERVICES

_ARROW = " -> "
_COPPER = re.compile(r"(?P<length>.+) of (?P<awg>[0-9/]+) AWG copper")
_WIRE_FORM = "Write terminal -> terminal, with 70 ft of 8 AWG copper between if it is long."


def read_supply(file: Building, data: Names) -> Supply:
    """Return the service of a unit file."""
    written = names(data.get("service"))
    kind, legs, loads = text(written, "is"), texts(written, "legs"), names(written.get("loads"))
    amps = {
        leg: _base(file, text(loads, leg), ("service", "loads", leg), Kind.CURRENT) or 0.0
        for leg in loads
    }
    there = SERVICES[kind].legs
    for at, leg in enumerate(legs):
        if leg not in there:
            sentence = f"{kind} has no leg {leg}."
            file.say(
                "wrong-word", ("service", "legs", at), sentence, f"It has {listed(there, 'and')}."
            )
    return Supply(kind, tuple(leg for leg in dict.fromkeys(legs) if leg in there), amps)


def read_parts(
    file: Building, data: Names, tapped: Collection[str]
) -> Mapping[str, tuple[str, Placed]]:
    """Return the parts by name, each with its kind; ``tapped`` are windings with faults inside."""
    found: dict[str, tuple[str, Placed]] = {}
    for name, said in names(data.get("parts")).items():
        written, path = names(said), ("parts", name)
        kind = PARTS.get(text(written, "is"))
        if kind is None:
            file.unknown("part", text(written, "is"), PARTS, (*path, "is"))
            continue
        settings = _settings(file, written, path, kind)
        if settings is not None:
            found[name] = kind.name, Placed(name, settings, tapped)
    return found


def _settings(
    file: Building, written: Names, path: Path, kind: PartKind
) -> Mapping[str, Value] | None:
    """Return what is said of a part; None where something that must be said is not."""
    for key in written:
        if key != "is" and key not in kind.settings:
            sentence = f"A {kind.name} has no `{shown(key)}`."
            fix = f"It has {listed(kind.settings, 'and')}." if kind.settings else "Take it out."
            file.say_key("unknown-key", (*path, key), sentence, offer(key, kind.settings, fix))
    values: dict[str, Value] = {}
    for key, setting in kind.settings.items():
        value = _setting(file, written, (*path, key), key, setting)
        if value is None:
            if key not in written:
                sentence = f"`{path[-1]}` is a {kind.name} and says no `{key}`."
                file.say_key("missing-key", path, sentence, f"Add `{key}:`.")
            return None
        values[key] = value
    return values


def _setting(
    file: Building, written: Names, path: Path, key: str, setting: Setting
) -> Value | None:
    if key not in written:
        return setting.default
    if setting.many:
        return texts(written, key)
    word = text(written, key)
    if setting.kind is not None:
        return _base(file, word, path, setting.kind)
    if setting.words and word not in setting.words:
        file.say(
            "wrong-word",
            path,
            f"`{key}` cannot be {shown(word)}.",
            f"It is {listed(setting.words)}.",
        )
        return None
    return word


def _base(file: Building, words: str, path: Path, kind: Kind) -> float | None:
    """Return a quantity in its base unit (a heat in tons); None where it cannot be used."""
    found = file.quantity_of(words, path, kind)
    if found is None:
        return None
    if found.value <= 0:
        file.say("bad-quantity", path, f"{shown(words)} is not above zero.", "Give its real size.")
        return None
    return float(found.in_unit("ton")) if kind is Kind.HEAT else float(found.value)


# --- wiring ---------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Traced:
    """A wire and the line it stands in."""

    wire: Wire
    path: Path


def read_wiring(
    file: Building, data: Names, terminals: Collection[str], parts: Mapping[str, tuple[str, Placed]]
) -> tuple[Traced, ...]:
    """Return every wire of a file; what names no terminal is a problem."""
    runs = data.get("wiring")
    lines = [one for one in runs if isinstance(one, str)] if isinstance(runs, list) else []
    through = _through(parts)
    unread = names(data.get("parts")).keys() - parts.keys()
    found: list[Traced] = []
    for at, line in enumerate(lines):
        found += _run(file, line, ("wiring", at), terminals, through, unread)
    return tuple(found)


def _through(parts: Mapping[str, tuple[str, Placed]]) -> Mapping[str, tuple[str, str]]:
    """Return what may stand in a run by its name alone, with the terminals that are meant."""
    found = {}
    for name, (kind, _) in parts.items():
        for piece, (first, second) in PARTS[kind].through.items():
            called = f"{name}.{piece}" if piece else name
            found[called] = f"{name}.{first}", f"{name}.{second}"
    return found


def _run(
    file: Building,
    line: str,
    path: Path,
    terminals: Collection[str],
    through: Mapping[str, tuple[str, str]],
    unread: Collection[str],
) -> Iterator[Traced]:
    """Yield the wires of one run."""
    stops = line.split(_ARROW)
    column, last, copper, feet = 0, "", 0.0, 0.0
    for at, stop in enumerate(stops):
        length = _copper(file, stop, path, column)
        if length is not None:
            if not last or copper or at == len(stops) - 1:
                file.say(
                    "bad-wire",
                    path,
                    f"The copper {shown(stop)} is between no two terminals.",
                    _WIRE_FORM,
                    column,
                )
                return
            copper, feet = length
        else:
            arrives, leaves = through.get(stop, (stop, stop))
            if arrives not in terminals and stop.partition(".")[0] in unread:
                return
            if arrives not in terminals:
                known = [*terminals, *through]
                sentence = f"There is no terminal {shown(stop)}."
                file.say("unknown-terminal", path, sentence, offer(stop, known, _WIRE_FORM), column)
                return
            if last:
                yield Traced(Wire(last, arrives, copper, feet), path)
            last, copper, feet = leaves, 0.0, 0.0
        column += len(stop) + len(_ARROW)
    if len(stops) < 2:
        file.say(
            "bad-wire", path, f"{shown(line)} is no run from a terminal to another.", _WIRE_FORM
        )


def _copper(file: Building, stop: str, path: Path, column: int) -> tuple[float, float] | None:
    """Return ohms and feet of a length of copper; None for what is a terminal."""
    found = _COPPER.fullmatch(stop)
    if found is None:
        return None
    per_foot = {str(row[0]): float(row[1]) / 1000 for row in table("conductor_resistance")["rows"]}
    try:
        length = literal(found["length"])
    except ValueError:
        length = None
    if length is None or length.kind is not Kind.LENGTH or found["awg"] not in per_foot:
        file.say(
            "bad-wire",
            path,
            f"{shown(stop)} is no length of copper.",
            "Write 70 ft of 8 AWG copper.",
            column,
        )
        return 0.0, 0.0
    feet = float(length.in_unit("ft"))
    return feet * per_foot[found["awg"]], feet
