"""Procedures used as they want to be: every return answered, every parameter given and fitting."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from engine.loader.building import Building, offer
from engine.loader.check_names import check_place, columns_needed
from engine.loader.document import Path
from engine.loader.surroundings import Surroundings
from engine.loader.wording import listed, shown
from engine.tree import DONE, THE, ActHead, Given, Procedure, Row, UseHead


def check_uses(here: Surroundings) -> None:
    """Keep a problem for every use of a procedure that does not fit the procedure."""
    for path, step in here.file.steps.items():
        if not isinstance(step.head, UseHead):
            continue
        if not step.again or (*path, "returns") in here.file.document.marks:
            _returned(here, path, step.head)
        if not step.again:
            _given(here, path, step.head)
    for name, stage in here.tree.stages.items() if here.tree else ():
        for key, use in (("enter", stage.enter), ("leave", stage.leave)):
            if use:
                _returned(here, ("stages", name, key), use, implied=DONE)
                _given(here, ("stages", name, key), use)
    _gives(here)


def _returned(here: Surroundings, path: Path, head: UseHead, implied: str = "") -> None:
    """Hold that every return is answered, save the implied one, and no other."""
    procedure = here.used.get(head.procedure)
    if procedure is None:
        return
    for word in head.returns:
        if word not in procedure.returns:
            sentence = f"{procedure.name} never returns {shown(word)}."
            fix = offer(word, procedure.returns, _returns_words(procedure))
            here.file.say_key("unknown-return", (*path, "returns", word), sentence, fix)
    answered = {implied, *head.returns}
    missing = [word for word in procedure.returns if word not in answered]
    if missing:
        sentence = f"{procedure.name} also returns {listed(missing, 'and')}."
        where = (*path, "returns") if head.returns else path
        here.file.say_key("missing-return", where, sentence, "Say below returns where each leads.")


def _gives(here: Surroundings) -> None:
    """Hold that what a procedure gives is read or worked out in the step that it names."""
    if not isinstance(here.made, Procedure):
        return
    for name, whole in here.made.gives.items():
        step, _, result = whole.partition(".")
        head = here.made.steps[step].head if step in here.made.steps else None
        known: list[str] = []
        if isinstance(head, ActHead):
            known = [spec.name for spec in head.readings] + [one for one, _ in head.work_out]
        elif isinstance(head, UseHead) and head.procedure in here.used:
            known = list(here.used[head.procedure].gives)
        if head and result not in known:
            sentence = f"{step} neither reads nor works out {shown(result)}."
            path = ("gives", name)
            key = "reading" if (*path, "reading") in here.file.document.marks else "work out"
            here.file.say("unknown-name", (*path, key), sentence, offer(result, known))


def _returns_words(procedure: Procedure) -> str:
    returns = procedure.returns
    return f"It returns {listed(returns)}." if returns else "It returns nothing: it ends the walk."


def _given(here: Surroundings, path: Path, head: UseHead) -> None:
    """Hold that everything is given that is taken, each of its kind, and nothing else."""
    procedure = here.used.get(head.procedure)
    if procedure is None:
        return
    for name, given in head.with_.items():
        where = (*path, "with", name)
        if name not in procedure.takes:
            sentence = f"{procedure.name} does not take {shown(name)}."
            fix = offer(name, procedure.takes, f"It takes {listed(procedure.takes, 'and')}.")
            here.file.say_key("unknown-parameter", where, sentence, fix)
        else:
            _fits(here, where, given, procedure, name)
    missing = [name for name in procedure.takes if name not in head.with_]
    if missing:
        sentence = f"{procedure.name} takes {listed(missing, 'and')} as well."
        here.file.say_key(
            "missing-parameter",
            (*path, "with") if head.with_ else (*path, "use"),
            sentence,
            "Say below with what is meant.",
        )


def _fits(here: Surroundings, path: Path, given: Given, procedure: Procedure, name: str) -> None:
    """Keep a problem where what is given is not what the procedure takes."""
    kind = procedure.takes[name]
    if isinstance(given, str) and given.startswith(THE):
        own = here.takes.get(given, kind)
        if own != kind:
            _wrong(here.file, path, name, kind, f"{given} is a {own}")
    elif kind == "list":
        _list(here, path, given, procedure, name)
    elif isinstance(given, str):
        _word_fits(here, path, given, kind)
    elif isinstance(given, tuple) and kind == "point set":
        for at, word in enumerate(given):
            _word_fits(here, (*path, at), word, kind)
    else:
        _wrong(here.file, path, name, kind, "this is several")


def _word_fits(here: Surroundings, path: Path, word: str, kind: str) -> None:
    if kind == "quantity":
        here.file.formula(word, path)
    elif kind == "point set":
        if word not in here.points and not word.startswith(THE):
            here.file.unknown("set", word, here.points, path)
    elif here.layout and kind in ("zone", "device", "box"):
        check_place(here.file, path, word, kind, here.layout)


def _wrong(file: Building, path: Path, name: str, kind: str, what: str) -> None:
    file.say("wrong-parameter", path, f"{name} must be a {kind}, and {what}.", f"Give a {kind}.")


def _list(here: Surroundings, path: Path, given: Given, procedure: Procedure, name: str) -> None:
    where, rows = path, given
    if isinstance(given, str):
        if given not in here.lists:
            here.file.unknown("list", given, here.lists, path)
            return
        where, rows = ("lists", given), here.lists[given]
    if not isinstance(rows, Mapping):
        _wrong(here.file, path, name, "list", "this is not one")
        return
    needed = columns_needed(here.used_files[procedure.name], procedure.takes, name)
    for row_name, row in rows.items():
        _row(here, (*where, row_name), row, procedure, needed)


def _row(
    here: Surroundings, path: Path, row: Row, procedure: Procedure, needed: Collection[str]
) -> None:
    missing = [column for column in needed if column not in row.columns]
    if missing:
        sentence = f"{procedure.name} needs {listed(sorted(missing), 'and')} of every row."
        here.file.say_key("missing-parameter", path, sentence, "Add it to this row.")
    for column, given in row.columns.items():
        if column in procedure.takes:
            sentence = f"{procedure.name} already takes {column} for itself."
            fix = "Give the column another name, here and in the procedure."
            here.file.say_key("same-name", (*path, column), sentence, fix)
        elif isinstance(given, str) and not given.startswith(THE):
            _word_fits(here, (*path, column), given, column.rsplit(" ", 1)[-1])
