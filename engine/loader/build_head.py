"""The heads of steps: an act with its readings, a procedure used, a sort, a hand-over."""

from __future__ import annotations

import re

from engine.loader.build_answer import judgement, judgements, outcomes
from engine.loader.building import Building, Names, Role, names, text, texts
from engine.loader.document import Data, Path
from engine.power import Act
from engine.reading import Function
from engine.tree import (
    THE,
    ActHead,
    Given,
    HandOverHead,
    Head,
    PassHead,
    ReadingSpec,
    Row,
    SortHead,
    Spread,
    UseHead,
)

LISTED_STEPS = "steps"
"""The key of the steps that are done for each row of a list."""

_ACTS = {act.value: act for act in Act}
_FUNCTIONS = {function.value: function for function in Function}
_SPREADS = {spread.value: spread for spread in Spread}
_NAME = re.compile(r"[A-Za-z][\w-]*")


def build_head(file: Building, data: Names, path: Path) -> Head:
    """Return what kind of step the data says; a step that goes on by itself where it says none."""
    if "act" in data:
        return _act(file, data, path)
    if "use" in data:
        return build_use(file, data, path)
    if "sort" in data:
        return _sort(file, data, path)
    if "hand over" in data:
        return HandOverHead(file.word(data, path, "hand over", Role.TREE), texts(data, "keep"))
    return PassHead()


def _act(file: Building, data: Names, path: Path) -> Head:
    act = _ACTS.get(text(data, "act"))
    if act is None:
        return PassHead()
    return ActHead(
        act=act,
        zone=file.plain(data, path, "zone"),
        device=file.plain(data, path, "device"),
        box=file.plain(data, path, "box"),
        item=file.plain(data, path, "item"),
        mode=text(data, "mode"),
        on=file.plain(data, path, "on"),
        leads_off=file.words(data, path, "leads off", Role.POINT),
        left_off=text(data, "left off") == "yes",
        readings=_readings(file, names(data.get("readings")), (*path, "readings")),
        work_out=tuple(
            (name, formula)
            for name, words in names(data.get("work out")).items()
            if isinstance(words, str)
            and (formula := file.formula(words, (*path, "work out", name)))
        ),
        judgements=judgements(file, data, path),
        counts_as=text(data, "counts as"),
        end=text(data, "end"),
    )


def _readings(file: Building, data: Names, path: Path) -> tuple[ReadingSpec, ...]:
    return tuple(_reading(file, name, names(one), (*path, name)) for name, one in data.items())


def _reading(file: Building, name: str, data: Names, path: Path) -> ReadingSpec:
    spread = next((_SPREADS[key] for key in data if key in _SPREADS), Spread.BETWEEN)
    role = Role.POINT if spread in (Spread.BETWEEN, Spread.EACH) else Role.SET
    return ReadingSpec(
        name=name,
        function=_FUNCTIONS.get(text(data, "function"), Function.VOLTS),
        spread=spread,
        points=file.words(data, path, spread.value, role),
        when=file.plain(data, path, "when"),
        or_not_there=text(data, "or") == "not there",
        condition=file.condition(data, path),
        span=file.document.key(*path),
    )


def build_use(file: Building, data: Names, path: Path) -> UseHead:
    """Return the use of a procedure: what it is given, and what follows from what it returns."""
    return UseHead(
        procedure=file.word(data, path, "use", Role.PROCEDURE),
        with_={
            name: given(file, what, (*path, "with", name))
            for name, what in names(data.get("with")).items()
        },
        returns=outcomes(file, data.get("returns"), (*path, "returns")),
    )


def given(file: Building, what: Data, path: Path) -> Given:
    """Return what a parameter or column is given: a word, several, or the rows of a list."""
    if isinstance(what, dict):
        return {name: build_row(file, names(row), (*path, name)) for name, row in what.items()}
    if isinstance(what, list):
        words = tuple(one for one in what if isinstance(one, str))
        for at, word in enumerate(words):
            _mention_parameter(file, word, (*path, at))
        return words
    _mention_parameter(file, what, path)
    return what


def _mention_parameter(file: Building, word: str, path: Path) -> None:
    if word.startswith(THE):
        file.mention(Role.PARAMETER, word, path)


def build_row(file: Building, data: Names, path: Path) -> Row:
    """Return one row of a list."""
    columns = {
        name: given(file, what, (*path, name)) for name, what in data.items() if name != "if"
    }
    return Row(columns, file.condition(data, path), file.document.key(*path))


def _sort(file: Building, data: Names, path: Path) -> SortHead:
    word, where = text(data, "sort"), (*path, "sort")
    judged = judgement(file, data, path)
    if "bands" in data:
        return SortHead(by_formula=file.formula(word, where), judgement=judged)
    if word.startswith(THE):
        file.mention(Role.PARAMETER, word, where)
        return SortHead(by_name=word, judgement=judged)
    if file.is_step_at(word, file.step):
        return SortHead(by_step=word, judgement=judged)
    if _NAME.fullmatch(word):
        file.mention(Role.SORTED, word, where)
        return SortHead(by_name=word, judgement=judged)
    return SortHead(by_formula=file.formula(word, where), judgement=judged)
