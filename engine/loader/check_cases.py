"""Cases and readings held against their tree: what they name is there."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from engine.cases import Cases, Expected, Readings, is_named
from engine.loader.building import Building, names
from engine.loader.check_answers import verdicts_of
from engine.loader.document import Path
from engine.tree import ActHead, SortHead, UseHead, WalkTree

_BY_ITSELF = "first/"
"""Steps that the engine puts in, which no tree has."""


def check_cases(file: Building, cases: Cases, walk: WalkTree) -> None:
    """Keep a problem for everything that the cases name and the tree does not have."""
    known = _known_steps(walk)
    data = names(file.document.data)
    _answers(file, ("as usual",), names(data.get("as usual")), known)
    _answers(file, ("beyond the rules",), cases.beyond, known)
    for name, case in cases.cases.items():
        path: Path = ("cases", name)
        said = names(names(data.get("cases")).get(name))
        _answers(file, (*path, "answers"), names(said.get("answers")), known)
        _nameplate(file, (*path, "nameplate"), names(said.get("nameplate")), walk)
        if "expect" in said:
            _expected(file, (*path, "expect"), case.expect, walk, known)


def check_readings(file: Building, readings: Readings, walk: WalkTree) -> None:
    """Keep a problem for everything that readings name and the tree does not have."""
    _answers(file, ("answers",), readings.answers, _known_steps(walk))
    _nameplate(file, ("nameplate",), readings.nameplate, walk)


def _known_steps(walk: WalkTree) -> frozenset[str]:
    """Return every step by its whole name and by every shorter end of it."""
    known: set[str] = set()
    for name in walk.steps:
        parts = name.split("/")
        known.update("/".join(parts[start:]) for start in range(len(parts)))
    return frozenset(known)


def _answers(file: Building, path: Path, answers: Iterable[str], known: Collection[str]) -> None:
    for step in answers:
        if step not in known and not step.startswith(_BY_ITSELF):
            file.unknown_key("step", step, known, (*path, step))


def _nameplate(file: Building, path: Path, fields: Iterable[str], walk: WalkTree) -> None:
    for field in fields:
        if field not in walk.fields:
            file.unknown_key("name", field, walk.fields, (*path, field))


def _expected(
    file: Building, path: Path, expect: Expected, walk: WalkTree, known: Collection[str]
) -> None:
    for key, findings in (("findings", expect.findings), ("also", expect.also)):
        for at, finding in enumerate(findings):
            if finding not in walk.tree.findings:
                file.unknown("finding", finding, walk.tree.findings, (*path, key, at))
    for at, step in enumerate(expect.path):
        if step not in known:
            file.unknown("step", step, known, (*path, "path", at))
    for step, verdict in expect.verdicts.items():
        if step not in known:
            file.unknown_key("step", step, known, (*path, "verdicts", step))
            continue
        verdicts = _verdicts(walk, step)
        if verdict not in verdicts:
            file.unknown("verdict", verdict, verdicts, (*path, "verdicts", step))


def _verdicts(walk: WalkTree, name: str) -> list[str]:
    """Return every verdict of the steps that a name, or the end of one, is meant for."""
    return [
        verdict
        for step in walk.steps.values()
        if is_named(step.name, name) and isinstance(step.head, ActHead | UseHead | SortHead)
        for verdict in verdicts_of(step.head)
    ]
