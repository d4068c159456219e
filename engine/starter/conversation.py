"""The questions in the order of asking, read from top to bottom as they are asked.

Causes come first, *which have you really found, of ten such calls?*, because a tree is as good as
what its author has met. Then one way to tell each, and what is done about it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from engine.power import Act
from engine.starter.beginning import Beginning, Cause, Glance, Measurement, Mending
from engine.starter.question import Asking, NotTakenError, Question, asked, picked
from engine.starter.sentences import sentence, title
from engine.starter.telling import told_by
from engine.starter.words_known import WordsKnown

MOST_CAUSES = 20
_SLUG = re.compile(r"[^a-z0-9]+")
_ID = re.compile(r"[a-z][a-z0-9-]*")
_SHARE = re.compile(r"\d{1,2}(?:\.\d)?")

_Counted = tuple[str, str, Fraction]
"""Name, title (empty where the vocabulary has it), and of ten calls how many."""


def conversation(known: WordsKnown) -> Asking[Beginning]:
    """Ask everything that a tree is begun with."""
    said_as = yield from asked(
        Question(
            "What does the customer say?",
            "In their words, several with commas between: it hums and stops, it tries to start.",
        ),
        _said_as,
    )
    heading = yield from asked(
        Question("The complaint as a title, at most 60 characters", enter=_upper(said_as[0])),
        lambda text: title(text or _upper(said_as[0])),
    )
    name = yield from _name(heading, known)
    counted = yield from _causes(known)
    causes: list[Cause] = []
    for cause in counted:
        causes.append((yield from _told_and_mended(cause, causes, known)))
    return Beginning(name, heading, said_as, tuple(causes))


def _said_as(text: str) -> tuple[str, ...]:
    found = tuple(part.strip() for part in text.split(",") if part.strip())
    if not found:
        raise NotTakenError("A few words are wanted, as the customer says them.")
    for one in found:
        title(one)
    return found


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def slug(text: str) -> str:
    """Return a text as a name: small letters, digits and hyphens."""
    found = _SLUG.sub("-", text.casefold()).strip("-")
    found = found if found[:1].isalpha() else f"the-{found}".strip("-")
    return found[:40].rstrip("-")


def _name(heading: str, known: WordsKnown) -> Asking[str]:
    free = slug(heading)
    number = 1
    while free in known.trees:
        number += 1
        free = f"{slug(heading)}-{number}"

    def take(text: str) -> str:
        name = text or free
        if not _ID.fullmatch(name):
            raise NotTakenError("Small letters, digits and hyphens, a letter first.")
        if name in known.trees:
            raise NotTakenError(f"There is a tree called {name} already.")
        return name

    words = "Its name, by which it is called up"
    return (yield from asked(Question(words, "It never changes later.", enter=free), take))


# --- causes ---------------------------------------------------------------------------------------


def _causes(known: WordsKnown) -> Asking[tuple[_Counted, ...]]:
    found: list[_Counted] = []
    while len(found) < MOST_CAUSES:
        one = yield from _cause(found, known)
        if one is None:
            break
        name, heading = one
        of_ten = yield from _of_ten(found)
        found.append((name, heading, of_ten))
        if not _left(found):
            break
    return tuple(found)


def _left(found: list[_Counted]) -> Fraction:
    return 10 - sum((one[2] for one in found), Fraction())


def _cause(found: list[_Counted], known: WordsKnown) -> Asking[tuple[str, str] | None]:
    """Ask for a cause: its name and title, None where there is no other."""
    question = Question("Which other cause have you found?", enter="that is all")
    if not found:
        question = Question(
            "Of ten such calls, which cause have you really found most often?",
            "Only what you have met yourself: Run capacitor weak.",
        )
    taken = [name for name, _, _ in found]

    def take(text: str) -> str:
        if not text and found:
            return ""
        name = slug(title(text))
        if name in taken:
            raise NotTakenError("That cause is there already.")
        return _upper(text)

    heading = yield from asked(question, take)
    if not heading:
        return None
    return (yield from _shared(heading, taken, known))


def _shared(heading: str, taken: list[str], known: WordsKnown) -> Asking[tuple[str, str]]:
    """Ask whether a cause of the vocabulary is meant, where one is called much alike."""
    like = [one for one in known.causes_like(heading) if one[0] not in taken]
    for name, words in like:
        if words.casefold() == heading.casefold():
            return name, ""
    own = (_free(slug(heading), (*taken, *known.vocabulary.suspects)), heading)
    if not like:
        return own
    choices = [(words, (name, "")) for name, words in like]
    question = Question("Other trees have causes like it. Which is it?")
    return (yield from picked(question, [*choices, (f"None of them: {heading}", own)]))


def _free(name: str, taken: tuple[str, ...]) -> str:
    number, free = 1, name
    while free in taken:
        number += 1
        free = f"{name}-{number}"
    return free


def _of_ten(found: list[_Counted]) -> Asking[Fraction]:
    left = _left(found)

    def take(text: str) -> Fraction:
        if not _SHARE.fullmatch(text) or not Fraction(text):
            raise NotTakenError("A number is wanted: 3, or 0.5 for one in twenty.")
        if Fraction(text) > left:
            raise NotTakenError(f"Of the ten, {float(left):g} are left.")
        return Fraction(text)

    hint = "" if found else "One you have never counted: your best guess."
    return (yield from asked(Question("In how many of the ten?", hint), take))


# --- telling and mending --------------------------------------------------------------------------


def _told_and_mended(cause: _Counted, before: Sequence[Cause], known: WordsKnown) -> Asking[Cause]:
    name, heading, of_ten = cause
    shown = heading or known.vocabulary.suspects[name]
    read = [one.told_by for one in before if isinstance(one.told_by, Measurement)]
    how: Measurement | Glance = yield from told_by(shown, known, read)
    mending = yield from _mending(shown, known)
    return Cause(name, heading, of_ten, how, mending)


def _mending(shown: str, known: WordsKnown) -> Asking[Mending]:
    own, who = yield from picked(
        Question(f"{shown}: whose work is it to mend it?"),
        [
            ("mine, with the unit locked out", (True, "")),
            ("a licensed electrician's", (False, "licensed electrician")),
            ("the utility's", (False, "utility")),
            ("somebody else's", (False, "")),
        ],
    )
    act = Act.REPAIR if own else Act.ASK
    repair = yield from asked(
        Question(
            "What do you do to mend it?" if own else "What has to be done?",
            "One sentence; {rated_volts} and other nameplate values may stand in braces.",
        ),
        sentence(act, known.vocabulary.fields),
    )
    tell = yield from asked(
        Question(
            "What do you tell the customer?",
            "The first sentence says what was wrong: The capacitor of the fan had failed.",
        ),
        sentence(None, known.vocabulary.fields),
    )
    return Mending(_stopped(repair), own, who, _stopped(tell))


def _stopped(text: str) -> str:
    """Return a sentence with its full stop."""
    return text if text.endswith((".", "!", "?")) else f"{text}."
