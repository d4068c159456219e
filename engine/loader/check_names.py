"""Every word that names something is the name of something, or the nearest name is offered.

Names in formulas and texts are not looked at here: what they can stand for hangs on the
procedures a step is written out from, so `check_kinds` does it on the tree as walked.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

from engine.codes import problem
from engine.layouts import Layout
from engine.loader.building import TOP, Building, Mention, Role, offer
from engine.loader.document import Path
from engine.loader.surroundings import Surroundings
from engine.loader.wording import listed, shown
from engine.tree import CARRY_ON, NEXT_ONE, THE, ActHead, EachHead, Step

_CODES = {
    Role.STEP: "unknown-step",
    Role.FINDING: "unknown-finding",
    Role.SUSPECT: "unknown-suspect",
    Role.SIGN: "unknown-sign",
    Role.PART: "bad-showing",
    Role.POINT: "unknown-point",
    Role.SET: "unknown-set",
    Role.SORTED: "unknown-name",
    Role.FIELD: "unknown-name",
    Role.STAGE: "unknown-stage",
    Role.LIST: "unknown-list",
    Role.PROCEDURE: "unknown-procedure",
    Role.RETURN: "unknown-return",
    Role.TREE: "unknown-tree",
}
_OTHERWISE = {
    Role.FINDING: "Only a tree has findings; a procedure is given one as a parameter.",
    Role.POINT: "Points and sets are listed in the vocabulary.",
    Role.SET: "Point sets are listed in the vocabulary.",
    Role.SIGN: "Signs are listed in the vocabulary.",
    Role.PART: "Parts are called as the vocabulary calls their points.",
    Role.FIELD: "It must be a nameplate field of the tree or of the vocabulary.",
    Role.RETURN: "Put the word among the procedure's returns.",
}
_LISTED = (Role.STAGE, Role.LIST)
"""Of these there are so few that all are named where none is like the one written."""


def check_names(here: Surroundings) -> None:
    """Keep a problem in the file for every mention that names nothing."""
    for mention in here.file.mentions:
        match mention.role:
            case Role.NAME:
                continue
            case Role.WORD | Role.ONE_OF_SEVERAL:
                _word(here, mention)
            case Role.PARAMETER:
                _parameter(here, mention)
            case Role.TARGET:
                _target(here, mention)
            case Role.STEP:
                if not here.file.is_step_at(mention.word, mention.step):
                    _unknown(here, mention, here.steps_at(mention))
            case role if mention.word not in here.by_role[role]:
                _unknown(here, mention, here.by_role[role])
    for path, step in here.file.steps.items():
        if not step.again:
            _same_names(here, path, step)


def _unknown(here: Surroundings, mention: Mention, known: Collection[str]) -> None:
    role = mention.role
    if role is Role.RETURN and here.tree:
        _say(here, mention, "misplaced-target", "Only a procedure returns.", "Name a step.")
        return
    if role is Role.SORTED:
        known = [*known, *here.steps_at(mention)]
    sentence = f"There is no {role} {shown(mention.word)}."
    otherwise = _OTHERWISE.get(role, "")
    if role in _LISTED and known:
        otherwise = f"The {role}s are {listed(known, 'and')}."
    _say(here, mention, _CODES[role], sentence, offer(mention.word, known, otherwise))


def _say(here: Surroundings, mention: Mention, code: str, sentence: str, fix: str) -> None:
    here.file.problems.append(problem(code, here.file.place_of(mention), sentence, fix))


def _word(here: Surroundings, mention: Mention) -> None:
    """Hold that a condition compares a field with a word that it can be answered with."""
    field = here.fields.get(mention.of)
    if field is None or mention.word.startswith(THE):
        return
    if field.words and field.many is not (mention.role is Role.ONE_OF_SEVERAL):
        how, right = ("is", "has") if field.many else ("has", "is")
        sentence = f"{field.name} is answered with {'several words' if field.many else 'one word'}."
        fix = f"Write {field.name} {right} {shown(mention.word)}, not {how}."
        _say(here, replace(mention, column=0), "bad-condition", sentence, fix)
        return
    if mention.word in field.words:
        return
    sentence = f"{field.name} is never answered with {shown(mention.word)}."
    otherwise = f"It is {listed(field.words)}." if field.words else "It is a number; use bands."
    fix = offer(mention.word, field.words, otherwise)
    _say(here, mention, "unknown-word", sentence, fix)


def _same_names(here: Surroundings, path: Path, step: Step) -> None:
    """Hold that no name in a step hides another that can be meant there."""
    head = step.head
    if isinstance(head, ActHead):
        readings = {spec.name for spec in head.readings}
        for name, _ in head.work_out:
            if name in readings or name in here.fields:
                what = "a reading" if name in readings else "a nameplate field"
                sentence = f"{name} is already {what} here."
                fix = "Give what is worked out another name."
                here.file.say_key("same-name", (*path, "work out", name), sentence, fix)
        for name in readings & set(here.fields):
            sentence = f"{name} is already a nameplate field."
            fix = "Give the reading another name."
            here.file.say_key("same-name", (*path, "readings", name), sentence, fix)
    elif isinstance(head, EachHead):
        for name in head.steps:
            if here.file.is_step_at(name, path):
                sentence = f"{name} is already a step outside of the list."
                fix = "Give the step of the list another name."
                here.file.say_key("same-name", (*path, "steps", name), sentence, fix)


# --- ways on that are no step ---------------------------------------------------------------------


def _target(here: Surroundings, mention: Mention) -> None:
    word = mention.word
    if word == NEXT_ONE and len(mention.step) <= len(TOP):
        sentence = "There is no next one: the step does not stand in a list."
        _say(here, mention, "misplaced-target", sentence, "Name a step.")
    if word == CARRY_ON and not _may_carry_on(here, mention.path):
        sentence = "Nothing can be carried on to from here."
        fix = "Only an answer of 'judge in turn' carries on, and not one of its last judgement."
        _say(here, mention, "misplaced-target", sentence, fix)


def _may_carry_on(here: Surroundings, path: Path) -> bool:
    if "judge in turn" not in path or path[-1] in ("if still wrong",):
        return False
    at = path.index("judge in turn")
    return (*path[: at + 1], int(path[at + 1]) + 1) in here.file.document.marks


# --- parameters and columns -----------------------------------------------------------------------


def _parameter(here: Surroundings, mention: Mention) -> None:
    if mention.word in here.takes:
        return
    known = set(here.takes)
    for over in lists_around(here.file, mention):
        if over.startswith(THE):
            return  # what its rows hold is checked where the list is given
        rows = here.lists.get(over, {})
        lacking = [name for name, row in rows.items() if mention.word not in row.columns]
        if rows and not lacking:
            return
        if 0 < len(lacking) < len(rows):
            sentence = f"The row {lacking[0]} of {over} says nothing of {mention.word}."
            _say(here, mention, "unknown-parameter", sentence, "Give every row of a list the same.")
            return
        known.update(column for row in rows.values() for column in row.columns)
    sentence = f"Nothing is given for {shown(mention.word)} here."
    otherwise = "Names that begin with 'the' are parameters of a procedure or columns of a list."
    _say(here, mention, "unknown-parameter", sentence, offer(mention.word, known, otherwise))


def lists_around(file: Building, mention: Mention) -> Iterator[str]:
    """Yield the lists that a mention stands in, innermost first."""
    for length in range(len(mention.step) - 2, 0, -2):
        head = file.steps[mention.step[:length]].head
        if isinstance(head, EachHead):
            yield head.over


def columns_needed(file: Building, takes: Collection[str], over: str) -> frozenset[str]:
    """Return what a procedure expects of every row of the list that it is given."""
    return frozenset(
        mention.word
        for mention in file.mentions
        if mention.role is Role.PARAMETER
        and mention.word not in takes
        and next(lists_around(file, mention), "") == over
    )


# --- places ---------------------------------------------------------------------------------------


def check_place(file: Building, path: Path, word: str, kind: str, layout: Layout) -> None:
    """Keep a problem where a layout has no such zone, device or box."""
    known = {"zone": layout.zone_at, "device": layout.device_at, "box": layout.box_at}[kind]
    if word not in known:
        sentence = f"The layout {layout.name} has no {kind} {shown(word)}."
        file.say(f"unknown-{kind}", path, sentence, offer(word, known, f"It has {listed(known)}."))
