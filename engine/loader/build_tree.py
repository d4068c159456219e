"""The head of a tree and of a procedure: everything in the file but its steps."""

from __future__ import annotations

from engine.loader.build_answer import target
from engine.loader.build_complaint import build_complaint
from engine.loader.build_head import build_row, build_use
from engine.loader.build_step import build_steps
from engine.loader.build_words import build_fields
from engine.loader.building import Building, Names, Role, names, text, texts
from engine.loader.document import Data, Path
from engine.power import Act
from engine.tree import (
    Accepted,
    Finding,
    Procedure,
    Row,
    Stage,
    Status,
    Suspect,
    Tree,
)

_STEPS: Path = ("steps",)
NOT_PROVED = "not proved"
"""The name under which a reviewed tree says what may stand though it is not proved."""


def build_tree(file: Building, data: Names) -> Tree:
    """Return what the file of a tree says."""
    steps = build_steps(file, names(data.get("steps")), _STEPS)
    return Tree(
        name=text(data, "tree"),
        title=text(data, "title"),
        complaint=build_complaint(file, names(data.get("complaint"))),
        revision=int(file.number(data, (), "revision", 1)),
        status=_status(file, data.get("status")),
        layout=text(data, "layout"),
        if_stuck=target(file, data, (), "if stuck"),
        nameplate=build_fields(file, names(data.get("nameplate")), ("nameplate",)),
        suspects=_suspects(file, names(data.get("suspects"))),
        lists=_lists(file, names(data.get("lists"))),
        stages=_stages(file, names(data.get("stages"))),
        start=target(file, data, (), "start"),
        steps=steps,
        findings=_findings(file, names(data.get("findings"))),
        span=file.document.at(),
    )


def build_procedure(file: Building, data: Names) -> Procedure:
    """Return what the file of a procedure says; it starts at its first step unless it says so."""
    steps = build_steps(file, names(data.get("steps")), _STEPS)
    return Procedure(
        name=text(data, "procedure"),
        title=text(data, "title"),
        takes=_texts_by_name(data.get("takes")),
        returns=texts(data, "returns"),
        gives=_gives(file, names(data.get("gives"))),
        start=target(file, data, (), "start") or next(iter(steps), ""),
        steps=steps,
        span=file.document.at(),
    )


def _texts_by_name(data: Data | None) -> dict[str, str]:
    return {name: what for name, what in names(data).items() if isinstance(what, str)}


def _status(file: Building, what: Data | None) -> Status:
    if isinstance(what, str):
        return Status(what)
    word, about = next(iter(names(what).items()), ("draft", None))
    said = names(about)
    accepted = {
        name: Accepted(
            text(names(one), "why"),
            text(names(one), "on"),
            file.document.key("status", word, NOT_PROVED, name),
        )
        for name, one in names(said.get(NOT_PROVED)).items()
    }
    return Status(word, text(said, "by"), text(said, "on"), text(said, "again by"), accepted)


def _suspects(file: Building, data: Names) -> dict[str, Suspect]:
    return {
        name: _suspect(file, name, names(one), ("suspects", name)) for name, one in data.items()
    }


def _suspect(file: Building, name: str, data: Names, path: Path) -> Suspect:
    return Suspect(
        name=name,
        title=text(data, "title"),
        weight=file.weight(data, path, "weight"),
        condition=file.condition(data, path),
        span=file.document.key(*path),
    )


def _lists(file: Building, data: Names) -> dict[str, dict[str, Row]]:
    return {
        name: {
            row: build_row(file, names(columns), ("lists", name, row))
            for row, columns in names(rows).items()
        }
        for name, rows in data.items()
    }


def _stages(file: Building, data: Names) -> dict[str, Stage]:
    return {name: _stage(file, name, names(one), ("stages", name)) for name, one in data.items()}


def _stage(file: Building, name: str, data: Names, path: Path) -> Stage:
    enter, leave = names(data.get("enter")), names(data.get("leave"))
    return Stage(
        name=name,
        enter=build_use(file, enter, (*path, "enter")) if enter else None,
        leave=build_use(file, leave, (*path, "leave")) if leave else None,
        zone=text(data, "zone"),
        box=text(data, "box"),
        from_=file.word(data, path, "from", Role.STAGE),
        back_to=file.word(data, path, "back to", Role.STAGE),
        ask_first=file.words(data, path, "ask first", Role.FIELD),
        span=file.document.key(*path),
    )


def _findings(file: Building, data: Names) -> dict[str, Finding]:
    return {
        name: _finding(file, name, names(one), ("findings", name)) for name, one in data.items()
    }


def _finding(file: Building, name: str, data: Names, path: Path) -> Finding:
    return Finding(
        name=name,
        title=file.sentence(data, path, "title"),
        suspect=file.word(data, path, "suspect", Role.SUSPECT),
        kind=text(data, "kind"),
        repair=file.sentence(data, path, "repair"),
        act=_repair_act(text(data, "act")),
        stage=file.word(data, path, "stage", Role.STAGE),
        zone=text(data, "zone"),
        device=text(data, "device"),
        box=text(data, "box"),
        item=text(data, "item"),
        who=text(data, "who"),
        minutes=file.number(data, path, "minutes"),
        parts=file.sentences(data, path, "parts"),
        tell_customer=file.sentence(data, path, "tell customer"),
        left=file.sentence(data, path, "left"),
        then=target(file, data, path, "then"),
        not_now=target(file, data, path, "not now"),
        span=file.document.key(*path),
    )


def _repair_act(word: str) -> Act:
    return Act(word) if word in list(Act) else Act.REPAIR


def _gives(file: Building, data: Names) -> dict[str, str]:
    return {name: _give(file, names(one), ("gives", name)) for name, one in data.items()}


def _give(file: Building, data: Names, path: Path) -> str:
    """Return the whole name of a result: ``step.reading``."""
    step = target(file, data, path, "from")
    result = text(data, "reading") or text(data, "work out")
    return f"{step}.{result}"
