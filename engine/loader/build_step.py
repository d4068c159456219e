"""Steps from their data: what kind of step, and everything said around it.

What is left unsaid is filled in here where the file alone is enough to know it: the step below,
every reason of a *can't* that is one word, the title of a step that only uses something. A step
``like`` another is that step with what it says itself put over it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from engine.loader.build_answer import judgements, outcomes, target
from engine.loader.build_head import LISTED_STEPS, build_head
from engine.loader.building import Building, Names, Role, names, text, texts
from engine.loader.document import Path
from engine.quantity import Kind
from engine.tree import (
    ANY_STAGE,
    NEXT_ONE,
    STUCK_REASONS,
    ActHead,
    EachHead,
    Head,
    PassHead,
    Step,
    UseHead,
    Wait,
)


def build_steps(file: Building, data: Names, path: Path, last: str = "") -> dict[str, Step]:
    """Return every step below a key, each leading to the one below where it says nothing.

    ``last`` is where the last of them leads.
    """
    file.scopes[path] = data
    below = iter([*list(data)[1:], last])
    return {name: build_step(file, name, (*path, name), next(below)) for name in data}


def build_step(file: Building, name: str, path: Path, below: str) -> Step:
    """Return one step; ``below`` is the step under it in the file."""
    data = names(file.scopes[path[:-1]].get(name))
    outer, file.step = file.step, path
    step = _like(file, name, data, path) if "like" in data else _step(file, name, data, path)
    step = _onward(step, below)
    file.step = outer
    file.steps[path] = step
    return step


def _step(file: Building, name: str, data: Names, path: Path) -> Step:
    head: Head
    if "for each" in data:
        inner = build_steps(file, names(data.get("steps")), (*path, LISTED_STEPS), NEXT_ONE)
        over = file.word(data, path, "for each", Role.LIST)
        head = EachHead(over, inner, target(file, data, path, "none"))
    else:
        head = build_head(file, data, path)
    return Step(name=name, head=head, **_around(file, name, data, path))


def _around(file: Building, name: str, data: Names, path: Path) -> dict[str, Any]:
    """Return what a step says besides its head, as the fields of a `Step`."""
    said = _said(file, data, path)
    said.setdefault("title", name.replace("-", " ").capitalize())
    return said | {"span": file.document.key(*path)}


def _onward(step: Step, below: str) -> Step:
    """Return a step that says nothing of where to go on with the step below filled in."""
    head = step.head
    if isinstance(head, EachHead):
        return step if head.none else replace(step, head=replace(head, none=below))
    answerless = isinstance(head, ActHead) and not head.judgements and not head.end
    if step.then or not (answerless or isinstance(head, PassHead)):
        return step
    return replace(step, then=below)


# --- like -----------------------------------------------------------------------------------------


def _like(file: Building, name: str, data: Names, path: Path) -> Step:
    """Return a step written like another of the same steps, with what it says itself."""
    other = file.word(data, path, "like", Role.STEP)
    said = _said(file, data, path)
    span = file.document.key(*path)
    around = file.scopes[path[:-1]]
    first = names(around.get(other))
    if not first or "like" in first:
        if "like" in first:
            sentence = f"{other} is itself written like another step."
            fix = f"Write like: {text(first, 'like')}."
            file.say("like-of-like", (*path, "like"), sentence, fix)
        return Step(name=name, head=PassHead(), span=span, **({"title": name} | said))
    with file.quietly():
        step = _step(file, other, first, (*path[:-1], other))
    head = _answered(file, step.head, data, path)
    return replace(step, name=name, head=head, again=True, span=span, **said)


def _answered(file: Building, head: Head, data: Names, path: Path) -> Head:
    """Return a head with its answers exchanged for those that the data gives, if it gives any."""
    if isinstance(head, UseHead) and "returns" in data:
        return replace(head, returns=outcomes(file, data.get("returns"), (*path, "returns")))
    own = judgements(file, data, path)
    if isinstance(head, ActHead) and own:
        kept = head.judgements[0].judge if len(head.judgements) == 1 else None
        if len(own) == 1 and own[0].judge is None:
            own = (replace(own[0], judge=kept),)
        return replace(head, judgements=own)
    return head


# --- what is said around a head -------------------------------------------------------------------


def _said(file: Building, data: Names, path: Path) -> dict[str, Any]:
    """Return the fields of a `Step` that the data says, but for its head."""
    return {
        field: build(file, data, path) for key, (field, build) in _FIELDS.items() if key in data
    }


def _sentence(key: str) -> Callable[[Building, Names, Path], str]:
    return lambda file, data, path: file.sentence(data, path, key)


def _stage(file: Building, data: Names, path: Path) -> str:
    word = text(data, "stage")
    if word and word != ANY_STAGE:
        file.mention(Role.STAGE, word, (*path, "stage"))
    return word


def _cautions(file: Building, data: Names, path: Path) -> tuple[tuple[str, str], ...]:
    cautions = names(data.get("caution"))
    return tuple((word, file.sentence(cautions, (*path, "caution"), word)) for word in cautions)


def _wait(file: Building, data: Names, path: Path) -> Wait:
    wait, where = names(data.get("wait")), (*path, "wait")
    time = file.quantity(wait, where, "for", Kind.TIME)
    return Wait(
        seconds=int(time.value) if time else 0,
        why=file.sentence(wait, where, "why"),
        meanwhile=file.sentence(wait, where, "meanwhile"),
    )


def _cannot(file: Building, data: Names, path: Path) -> Mapping[str, str]:
    by_reason = data.get("cannot")
    if isinstance(by_reason, dict):
        where = (*path, "cannot")
        return {reason: target(file, by_reason, where, reason) for reason in by_reason}
    return dict.fromkeys(STUCK_REASONS, target(file, data, path, "cannot"))


_FIELDS: Mapping[str, tuple[str, Callable[[Building, Names, Path], Any]]] = {
    "title": ("title", _sentence("title")),
    "stage": ("stage", _stage),
    "if": ("condition", lambda file, data, path: file.condition(data, path)),
    "if not": ("if_not", lambda file, data, path: target(file, data, path, "if not")),
    "ask first": (
        "ask_first",
        lambda file, data, path: file.words(data, path, "ask first", Role.FIELD),
    ),
    "minutes": ("minutes", lambda file, data, path: file.number(data, path, "minutes")),
    "who": ("who", lambda file, data, path: text(data, "who")),
    "why": ("why", _sentence("why")),
    "do": ("do", _sentence("do")),
    "caution": ("cautions", _cautions),
    "tools": ("tools", lambda file, data, path: texts(data, "tools")),
    "photo": ("photo", _sentence("photo")),
    "source": ("source", lambda file, data, path: text(data, "source")),
    "then": ("then", lambda file, data, path: target(file, data, path, "then")),
    "wait": ("wait", _wait),
    "close": ("close", lambda file, data, path: text(data, "close")),
    "cannot": ("cannot", _cannot),
}
"""Key of a file → field of a `Step`, and how it is read."""
