"""What a typed text may not say: another act's work, what nobody can vouch for, unknown names."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection

from engine.power import Act
from engine.safe_words import foreign_verbs, never_said
from engine.starter.question import NotTakenError

LONGEST_TITLE = 60
_BRACES = re.compile(r"\{([^{}]*)\}")
_LOOSE = re.compile(r"[{}]")
_CANNOT_BE_SEEN = re.compile(r"[\x00-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060\ufeff\ufffd]")


def title(text: str) -> str:
    """Return a text that is short enough for a title; raises NotTakenError."""
    if len(text) < 2:
        raise NotTakenError("A few words are wanted.")
    if len(text) > LONGEST_TITLE:
        over = len(text) - LONGEST_TITLE
        raise NotTakenError(
            f"At most {LONGEST_TITLE} characters, so that it fits a phone: {over} too many."
        )
    return _seen(text)


def answer(text: str) -> str:
    """Return a text that can be an answer picked from a list; raises NotTakenError."""
    return title(text)


def sentence(
    act: Act | None, fields: Collection[str], *, live: bool = False
) -> Callable[[str], str]:
    """Return what takes a sentence for a step of this act; ``fields`` may stand in braces."""

    def take(text: str) -> str:
        if len(text) < 2:
            raise NotTakenError("A sentence is wanted.")
        for verb, belongs in foreign_verbs(act, text) if act else ():
            raise NotTakenError(_foreign(verb, belongs, act))
        for said in never_said(text, live=live):
            raise NotTakenError(f"'{said.words}' {said.never.name}. {said.never.instead}")
        for braces in _BRACES.finditer(text):
            if braces[1] not in fields:
                raise NotTakenError(
                    f"Nothing is called {braces[1]}. Braces hold a nameplate value, like "
                    "{rated_volts}."
                )
        if _LOOSE.search(_BRACES.sub("", text)):
            raise NotTakenError("A brace is opened or closed alone.")
        return _seen(text)

    return take


def _seen(text: str) -> str:
    if _CANNOT_BE_SEEN.search(text):
        raise NotTakenError("A character in it cannot be seen; type it again without.")
    return text


def _foreign(verb: str, belongs: Act, act: Act | None) -> str:
    by_itself = {
        Act.OPEN_UP: "The tree opens and shuts boxes by itself; leave it out.",
        Act.CLOSE_UP: "The tree opens and shuts boxes by itself; leave it out.",
        Act.SWITCH_OFF: "The tree switches off, locks and proves by itself; leave it out.",
        Act.SWITCH_ON: "The tree puts the unit back on by itself; leave it out.",
        Act.RUN: "The tree calls for cooling or heat by itself; leave it out.",
        Act.PUT_ON: "Leads that come off for a reading are put off by the step itself.",
    }
    what = "a repair" if act is Act.REPAIR else f"a step that is {act}"
    way = by_itself.get(belongs, "Say only what this step does.")
    return f"'{verb}' is no word of {what}, it is {belongs}. {way}"
