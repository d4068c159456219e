"""What follows from an answer: outcomes, bands, choices, judgements in turn."""

from __future__ import annotations

from engine.loader.building import Building, Names, Role, names, text, texts
from engine.loader.document import Data, Path
from engine.tree import CARRY_ON, GO_ON, NEXT_ONE, RETURN, Judgement, Outcome
from engine.unit.showing import Does, Showing, ShowingError, read_showing


def target(file: Building, data: Names, path: Path, key: str) -> str:
    """Return where a key leads: a step, ``go on``, ``carry on``, ``next one``, ``return WORD``."""
    word = text(data, key)
    if word:
        mention_target(file, word, (*path, key))
    return word


def mention_target(file: Building, word: str, path: Path) -> None:
    """Keep what a target names: a step, or the word that a procedure returns."""
    if word.startswith(RETURN):
        file.mention(Role.RETURN, word.removeprefix(RETURN), path, len(RETURN))
    elif word != GO_ON:
        file.mention(Role.TARGET if word in (NEXT_ONE, CARRY_ON) else Role.STEP, word, path)


def outcomes(file: Building, data: Data | None, path: Path) -> dict[str, Outcome]:
    """Return the outcome of every answer below a key, in file order."""
    return {
        answer: outcome(file, what, (*path, answer), answer) for answer, what in names(data).items()
    }


def outcome(file: Building, what: Data, path: Path, answer: str) -> Outcome:
    """Return what follows from one answer: a target's word, or names with more."""
    span = file.document.key(*path)
    if isinstance(what, str):
        mention_target(file, what, path)
        return Outcome(answer, then=what, span=span)
    data = names(what)
    return Outcome(
        verdict=text(data, "verdict") or answer,
        means=file.sentence(data, path, "means"),
        counts_as=text(data, "counts as"),
        on=file.plain(data, path, "on"),
        points_to=file.words(data, path, "points to", Role.SUSPECT),
        clears=file.words(data, path, "clears", Role.SUSPECT),
        finds=file.word(data, path, "finds", Role.FINDING),
        if_still_wrong=target(file, data, path, "if still wrong"),
        also=file.word(data, path, "also", Role.FINDING),
        then=target(file, data, path, "then"),
        source=text(data, "source"),
        condition=file.condition(data, path),
        shown_by=showings(file, data, path, "shown by"),
        span=span,
    )


def showings(file: Building, data: Names, path: Path, key: str) -> tuple[Showing, ...]:
    """Return what a unit shows by the statements of a key, one text or a list of them."""
    listed = isinstance(data.get(key), list)
    found: list[Showing] = []
    for at, words in enumerate(texts(data, key)):
        where = (*path, key, at) if listed else (*path, key)
        if one := showing(file, words, where):
            found.append(one)
    return tuple(found)


def showing(file: Building, words: str, path: Path) -> Showing | None:
    """Return one statement of what a unit shows; None, and a problem kept, for what is none."""
    try:
        one = read_showing(words)
    except ShowingError as error:
        file.say("bad-showing", path, error.sentence, error.fix)
        return None
    file.mention(Role.SIGN if one.does is Does.SIGN else Role.PART, one.subject, path)
    return one


def judgements(file: Building, data: Names, path: Path) -> tuple[Judgement, ...]:
    """Return the judgements of a step or sort, none where it has no answer."""
    in_turn = data.get("judge in turn")
    if isinstance(in_turn, list):
        listed = [(names(one), (*path, "judge in turn", at)) for at, one in enumerate(in_turn)]
    else:
        listed = [(data, path)]
    return tuple(
        judgement(file, one, where) for one, where in listed if "bands" in one or "choices" in one
    )


def judgement(file: Building, data: Names, path: Path) -> Judgement:
    """Return one judgement: bands over a formula, or choices."""
    key = "bands" if "bands" in data else "choices"
    answers = names(data.get(key))
    judged = text(data, "judge")
    return Judgement(
        answers=outcomes(file, data.get(key), (*path, key)),
        judge=file.formula(judged, (*path, "judge")) if judged else None,
        bands=file.bands(list(answers), (*path, key)) if key == "bands" else None,
        span=file.document.key(*path, key),
    )
