"""The door to simulated units: a unit file, and files that add faults to one.

A unit lies in the folder ``units`` of a shelf. `load_unit` builds it and, unless told otherwise,
puts a sound one on the bench and reads what the file expects: only that needs numpy.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from engine.codes import problem
from engine.layouts import LAYOUTS
from engine.loader.building import Building, names, offer, text, texts
from engine.loader.document import Path as Place
from engine.loader.loading import FileRead, Loader, read_file
from engine.loader.shelves import Found, Shelves, shelves
from engine.loader.unit_faults import (
    Known,
    bridges_of,
    build_faults,
    build_stated,
    reading_of,
    tapped_windings,
)
from engine.loader.unit_parts import read_parts, read_supply, read_wiring
from engine.loader.wording import shown
from engine.problems import Problem, Severity, Span
from engine.quantity import literal
from engine.reading import FUNCTION_KIND, Function
from engine.unit.assembly import Bridge, join, place
from engine.unit.condition import Condition
from engine.unit.faults import Fault
from engine.unit.netlist import EARTH, Draft
from engine.unit.unit import Expected, Unit
from engine.vocabulary import Vocabulary

UNIT, ADDS = "unit", "adds to"
_RANGE = re.compile(r"(?P<low>.+) to (?P<high>.+)")


@dataclass(frozen=True, slots=True)
class LoadedUnit:
    """A unit as loaded, or the problems that keep it from being one."""

    unit: Unit | None
    problems: tuple[Problem, ...] = ()


def unit_names(home: Path | None = None) -> tuple[str, ...]:
    """Return the names of the units there are, a home's own first."""
    return tuple(dict.fromkeys(found.stem for found in _units(shelves(home))))


def load_unit(unit: str, home: Path | None = None) -> LoadedUnit:
    """Return a unit, named by its name or by the path of its file, with every problem of it."""
    path = Path(unit)
    if unit.endswith(".yaml") or path.is_file():
        return _load(Found.at(path), shelves(home, path))
    where = shelves(home)
    found = _named(unit, where)
    if found is None:
        sentence = f"There is no unit called {shown(unit)}."
        fix = offer(unit, unit_names(home), "A unit is named by its name, or by its file's path.")
        return LoadedUnit(None, (problem("unknown-unit", Span(unit), sentence, fix),))
    return _load(found, where)


def unit_digest(unit: str, home: Path | None = None) -> str:
    """Return the hash of a unit's files, as `Unit.digest` has it; empty for no such unit."""
    where = shelves(home)
    found = _named(unit, where)
    return _digest(one.raw for one in _files_of(read_file(found), where)) if found else ""


def check_unit(found: Found, where: Shelves) -> tuple[Problem, ...]:
    """Return every problem of a unit file, or of a file that adds faults to a unit."""
    return _load(found, where).problems


def _units(where: Shelves) -> Iterator[Found]:
    for one in where.units():
        if (
            next((key for key in names(read_file(one).document.data) if key != "format"), "")
            == UNIT
        ):
            yield one


def _named(name: str, where: Shelves) -> Found | None:
    return next((one for one in _units(where) if one.stem == name), None)


def _load(found: Found, where: Shelves) -> LoadedUnit:
    """Return a unit with the faults that its own file and others give it."""
    first = read_file(found)
    base, more = first, []
    if ADDS in names(first.document.data):
        name = text(names(first.document.data), ADDS)
        meant = _named(name, where)
        if meant is None:
            file = Building(first.document, first.raw)
            known = [one.stem for one in _units(where)]
            file.unknown("unit", name, known, (ADDS,))
            return LoadedUnit(None, tuple(sorted({*first.shape, *file.problems})))
        base, more = read_file(meant), [first]
    else:
        more = _files_of(first, where)[1:]
    shape = {*base.shape, *(said for one in more for said in one.shape)}
    if shape:
        return LoadedUnit(None, tuple(sorted(shape)))
    vocabulary = Loader(where).vocabulary()
    return _Making(base, more, vocabulary).made()


def _files_of(base: FileRead, where: Shelves) -> list[FileRead]:
    """Return the file of a unit and those that add faults to it."""
    stem = text(names(base.document.data), UNIT)
    every = [read_file(one) for one in where.units() if one.path != base.found.path]
    return [base, *(one for one in every if text(names(one.document.data), ADDS) == stem)]


def _digest(several: Iterable[bytes]) -> str:
    whole = sha256()
    for raw in several:
        whole.update(sha256(raw).digest())
    return whole.hexdigest()


class _Making:
    """One unit while it is made from its files."""

    def __init__(self, base: FileRead, more: list[FileRead], vocabulary: Vocabulary) -> None:
        self._files = [Building(one.document, one.raw) for one in (base, *more)]
        self._raw = {one.found.path: one.raw for one in (base, *more)}
        self._vocabulary = vocabulary
        self._data = names(base.document.data)
        self._faults = [names(names(one.document.data).get("faults")) for one in self._files]

    def made(self) -> LoadedUnit:
        """Return the unit and what is wrong with it."""
        unit = self._unit()
        problems = [said for one in self._files for said in one.problems]
        if unit is not None and not _stop(problems):
            problems += self._as_expected(unit)
        return LoadedUnit(None if _stop(problems) else unit, tuple(sorted(set(problems))))

    def _unit(self) -> Unit | None:
        """Return the unit; None where parts cannot be made, since all else rests on them."""
        file, data = self._files[0], self._data
        tapped = frozenset().union(*(tapped_windings(faults) for faults in self._faults))
        parts = read_parts(file, data, tapped)
        supply = read_supply(file, data)
        if parts.keys() != names(data.get("parts")).keys():
            return None
        draft = Draft()
        place(draft, supply, parts)
        terminals = {*draft.nodes, EARTH}
        wires = [one.wire for one in read_wiring(file, data, terminals, parts)]
        netlist = join(draft, wires, self._bridges(terminals))
        points, devices = self._points(terminals), self._devices()
        operating = self._operating(devices)
        known = Known(
            {param.name: param.nominal for param in netlist.params},
            self._vocabulary.suspects,
            self._vocabulary.signs,
            devices,
            {*points, *_AIR},
            names(data.get("nameplate")).keys(),
        )
        answers = names(data.get("nameplate"))
        return Unit(
            name=text(data, UNIT),
            title=text(data, "title"),
            layout=text(data, "layout"),
            phases=3 if len(supply.legs) > 2 else 1,
            service=supply.kind,
            netlist=netlist,
            points=points,
            nameplate={key: texts(answers, key) for key in answers},
            operating=operating,
            expected=tuple(self._expected(points, operating)),
            faults=self._all_faults(known),
            stated=build_stated(file, names(data.get("stated")), ("stated",), known.points),
            digest=_digest(self._raw.values()),
            files=self._raw,
        )

    def _bridges(self, terminals: Collection[str]) -> list[Bridge]:
        """Return where faults of any file join terminals, each once."""
        found = {
            bridge.name: bridge
            for one, faults in zip(self._files, self._faults, strict=True)
            for bridge in bridges_of(one, faults, terminals)
        }
        return list(found.values())

    def _all_faults(self, known: Known) -> Mapping[str, Fault]:
        return {
            name: fault
            for one, written in zip(self._files, self._faults, strict=True)
            for name, fault in build_faults(one, written, known).items()
        }

    def _devices(self) -> Collection[str]:
        """Return the devices of the unit's layout."""
        named = text(self._data, "layout")
        if named not in LAYOUTS:
            sentence = f"There is no layout {shown(named)}."
            self._files[0].say("wrong-word", ("layout",), sentence, offer(named, LAYOUTS))
            return ()
        return [device.name for device in LAYOUTS[named].devices]

    def _points(self, terminals: Collection[str]) -> Mapping[str, str]:
        """Return the test points: terminals called like a point, and those said to be one."""
        found = {point: point for point in self._vocabulary.points if point in terminals}
        said = names(self._data.get("test points"))
        for point in said:
            path = ("test points", point)
            if point not in self._vocabulary.points:
                self._files[0].unknown_key("point", point, self._vocabulary.points, path)
            elif text(said, point) not in terminals:
                word = text(said, point)
                sentence = f"There is no terminal {shown(word)}."
                self._files[0].say("unknown-terminal", path, sentence, offer(word, terminals))
            else:
                found[point] = text(said, point)
        return found

    def _operating(self, devices: Collection[str]) -> Mapping[str, Condition]:
        found = {}
        for name, said in names(self._data.get("operating points")).items():
            data = names(said)
            for at, device in enumerate(texts(data, "open")):
                if device not in devices:
                    path: Place = ("operating points", name, "open", at)
                    self._files[0].unknown("device", device, devices, path)
            found[name] = Condition(frozenset(texts(data, "open")), frozenset(texts(data, "calls")))
        return found

    def _expected(
        self, points: Mapping[str, str], operating: Mapping[str, Condition]
    ) -> Iterator[Expected]:
        file = self._files[0]
        for name, said in names(self._data.get("expect")).items():
            if name not in operating:
                sentence = f"There is no operating point {shown(name)}."
                file.say_key("unknown-name", ("expect", name), sentence, offer(name, operating))
                continue
            readings = names(said)
            for key in readings:
                path: Place = ("expect", name, key)
                meant = reading_of(file, key, path, points)
                span = _window(file, text(readings, key), path, meant)
                if meant is not None and span is not None:
                    yield Expected(name, *meant, *span, file.document.at(*path))

    def _as_expected(self, unit: Unit) -> Iterator[Problem]:
        # Imported here: all else about a unit file can be told without numpy.
        from engine.unit.expecting import surprises

        for expected, shown_ in surprises(unit):
            sentence = f"A sound unit reads {shown_} there."
            yield problem(
                "not-as-expected",
                expected.span,
                sentence,
                "Mend the unit, or what is expected of it.",
            )


_AIR = ("air.return", "air.supply")


def _window(
    file: Building, words: str, path: Place, meant: tuple[Function, tuple[str, ...]] | None
) -> tuple[float, float] | None:
    """Return the ends of what a reading may be, in the base unit."""
    found = _RANGE.fullmatch(words)
    if meant is None:
        return None
    kind = FUNCTION_KIND[meant[0]]
    try:
        ends = [literal(one) for one in (found["low"], found["high"])] if found else []
    except ValueError:
        ends = []
    if len(ends) != 2 or any(one.kind is not kind for one in ends):
        sentence = f"{shown(words)} is no range of {kind}."
        file.say("bad-reading", path, sentence, "Write a low and a high, like 114 V to 126 V.")
        return None
    return float(ends[0].value), float(ends[1].value)


def _stop(problems: Iterable[Problem]) -> bool:
    return any(one.severity is Severity.STOPS for one in problems)
