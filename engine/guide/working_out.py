"""*Work it out*: pick a figure of the trade, fill it in, see the answer, change a value, see again.

The conversation is a value: `take` gives the next one for a typed line and changes nothing, and
`working_page` says what to show. The screen and the line by line walk both hold one and no more.
What a walk has read is offered, never put in: it counts only when Enter or a number takes it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from engine.figure import FigureError
from engine.guide.choices import chosen, in_numbers, numbered
from engine.guide.figure_given import KIND, Given, agreed, nearest, plain, understood
from engine.guide.line import Action, Line, read_line
from engine.guide.working_state import (
    Answered,
    Listing,
    Working,
    alike,
    answered_in_words,
    as_answer,
    footing,
    label,
    offered,
)
from engine.reading import Refused
from engine.trade.catalogue import FIGURES, SUBJECTS


@dataclass(frozen=True)
class Turn:
    """What a typed line came to."""

    working: Working | None
    """None where the conversation is over."""
    lines: tuple[str, ...] = ()
    """To be shown: what was understood, or what was asked about."""
    refused: tuple[str, ...] = ()
    """Why the line was not taken: text, caret, sentence. What was asked is still asked."""
    sun: bool = False
    stop: bool = False
    """The walk is to be stopped: something has happened there."""


LETTERS: Mapping[Action, str] = {
    Action.STOP: "STOP",
    Action.LEAVE: "back",
    Action.UNDO: "take back the last entry",
    Action.CANNOT: "leave this one out",
    Action.KNOWN: "values of this walk that could stand here",
    Action.WHY: "formula, source and limits",
    Action.SUN: "bright sun, on and off",
}
"""What the letters do here, in the words of the list that ``m`` shows."""

LEAST_LETTERS = 2
"""Letters of a figure's name or title that are looked for."""


def take(working: Working, text: str) -> Turn:
    """Return what a typed line comes to."""
    line = read_line(text)
    alone = line.action if not line.rest else None
    if alone is Action.LEAVE:
        return Turn(None)
    if alone is Action.STOP and working.on_walk:
        return Turn(None, stop=True)
    if alone is Action.SUN:
        return Turn(working, sun=True)
    if working.listing:
        return _pick(working, line)
    if alone is Action.EVERYTHING:
        listed = tuple(letters_of(working))
        return Turn(replace(working, listing=Listing.ACTIONS, listed=listed))
    if alone is Action.UNDO:
        return _take_back(working)
    if not working.figure:
        return _find(working, line)
    if alone is Action.WHY:
        return Turn(working, lines=footing(working.about))
    return _fill_in(working, line) if working.asking else _at_the_answer(working, line)


def letters_of(working: Working) -> dict[str, str]:
    """Return the letters that do something at this moment, each with what it does."""
    alone = {Action.SUN, Action.LEAVE}
    if working.before:
        alone.add(Action.UNDO)
    if working.figure:
        alone.add(Action.WHY)
    if working.asking and working.item.optional:
        alone.add(Action.CANNOT)
    if working.asking and alike(working):
        alone.add(Action.KNOWN)
    if working.on_walk:
        alone.add(Action.STOP)
    return {str(one): words for one, words in LETTERS.items() if one in alone}


def _take_back(working: Working) -> Turn:
    if working.before is None:
        return Turn(working, lines=("Nothing to take back.",))
    asked = working.before.asking
    return Turn(working.before, lines=(f"Taken back: {label(asked)}.",) if asked else ())


def _refuse(working: Working, text: str, sentence: str) -> Turn:
    return Turn(working, refused=tuple(Refused(text, 1, sentence).message().splitlines()))


# Picking a figure


def _find(working: Working, line: Line) -> Turn:
    """Return what a number of the list, or part of a name or a title, comes to."""
    text = line.text
    if line.empty:
        return Turn(replace(working, found=(), before=None) if working.found else None)
    listed = working.found or tuple(SUBJECTS)
    if picked := _numbered(listed, text):
        return _found(working, (picked,) if working.found else SUBJECTS[picked])
    if text.isdigit():
        return _refuse(working, text, f"1 to {len(listed)}, or part of a figure's name.")
    if len(plain(text)) < LEAST_LETTERS:
        sentence = f"{LEAST_LETTERS} letters of a figure's name at least; m lists what else."
        return _refuse(working, text, sentence)
    names = called(text)
    if not names:
        near = nearest(text, list(FIGURES))
        return _refuse(working, text, f"No figure has that in its name or its title{near}.")
    return _found(working, names)


def called(text: str) -> tuple[str, ...]:
    """Return the figures that have a text in their name or their title.

    One that is called so exactly comes alone.
    """
    said = plain(text)
    exactly = tuple(name for name in FIGURES if plain(name) == said)
    return exactly or tuple(
        name for name, one in FIGURES.items() if said in plain(name) or said in plain(one.title)
    )


def _numbered(listed: tuple[str, ...], text: str) -> str:
    """Return what a number of a list stands for; empty for any other line."""
    number = int(text) if text.isascii() and text.isdigit() and len(text) < 4 else 0
    return listed[number - 1] if 1 <= number <= len(listed) else ""


def _found(working: Working, names: tuple[str, ...]) -> Turn:
    after = replace(working, before=working, answers={}, found=(), figure="", asking="")
    if len(names) > 1:
        return Turn(replace(after, found=names))
    return Turn(replace(after, figure=names[0], asking=FIGURES[names[0]].inputs[0].name))


# Filling it in


def _fill_in(working: Working, line: Line) -> Turn:
    item = working.item
    if line.empty:
        return _by_enter(working)
    if line.action is Action.CANNOT and not line.rest:
        if not item.optional:
            sentence = f"{label(item.name)} is needed; without it there is no answer."
            return _refuse(working, line.text, sentence)
        return _taken(working, Answered())
    if line.action is Action.KNOWN:
        return _list_offers(working, line)
    try:
        return _taken(working, _typed(working, line.text))
    except Refused as refused:
        return Turn(working, refused=tuple(refused.message().splitlines()))


def _typed(working: Working, text: str) -> Answered:
    """Return what was typed for the input that is asked for; raises Refused."""
    item = working.item
    options = numbered(item.words)
    word = chosen(options, text) if item.words else None
    try:
        given = understood(item, word or text, degrees=working.degrees, example=_example(working))
    except Refused as refused:
        if not item.words:
            raise
        near = nearest(text, item.words)
        raise Refused(text, refused.column, f"{in_numbers(options)} is wanted{near}.") from None
    if item.kind is None and not item.words:
        # 1/0 and 120/240 are typed with digits and a space where there is no stroke at hand.
        given = replace(given, value="/".join(text.split()), shown="/".join(text.split()))
    return Answered(text, given)


def _example(working: Working) -> str:
    """Return what the figure's own example has for the input; empty if it has nothing."""
    pairs = (pair.partition("=") for pair in working.about.example.split())
    return {name: text.replace(",", " ") for name, _, text in pairs}.get(working.asking, "")


def _by_enter(working: Working) -> Turn:
    """Return what Enter alone does: keep, take what the walk has read, the default, or nothing."""
    if working.asking in working.answers:
        return Turn(replace(working, asking=""), lines=("Nothing was changed.",))
    answered = offered(working)
    if answered is None and working.item.optional:
        answered = Answered()
    if answered is None:
        sentence = f"{label(working.asking)} is wanted; Enter alone leaves nothing out here."
        return _refuse(working, "", sentence)
    return _taken(working, answered)


def _taken(working: Working, answered: Answered) -> Turn:
    """Return the conversation after an input was answered, or why the answer can't be."""
    asked, inputs = working.asking, working.inputs
    answers = {**working.answers, asked: answered}
    given = answered.given
    if asked != KIND and KIND in answers and given and given.kind in inputs[KIND].words:
        # A list typed anew in amps says what it is; the earlier answer must not contradict it.
        answers[KIND] = Answered(str(given.kind), Given(str(given.kind), str(given.kind)))
    answers = {name: answers[name] for name in inputs if name in answers}
    still = next((name for name in inputs if name not in answers), "")
    after = replace(working, before=working, answers=answers, asking=still)
    if answered.text and (wrong := _at_fault(after, asked)):
        return _refuse(working, answered.text, wrong)
    return Turn(after, lines=(f"{label(asked)}: {answered_in_words(inputs[asked], answered)}",))


def _at_fault(working: Working, asked: str) -> str:
    """Return why a figure can't be worked out with what was just given; empty if it can.

    Said at once, while the line stands there to be mended. What only goes wrong between several
    inputs is said in the place of the answer.
    """
    wanted = [one.name for one in working.about.inputs if not one.optional]
    try:
        if working.asking and (working.inputs[asked].optional or {*wanted} - {*working.answers}):
            agreed(working.inputs, working.given)
        else:
            working.answer()
    except FigureError as error:
        return error.sentence if error.key == asked else ""
    return ""


# The answer, and the lists


def _at_the_answer(working: Working, line: Line) -> Turn:
    if line.empty:
        return Turn(replace(working, before=working, figure="", answers={}, found=()))
    name = _numbered(tuple(working.answers), line.text)
    if not name:
        sentence = (
            f"1 to {len(working.answers)} changes a value; Enter alone is for another figure."
        )
        return _refuse(working, line.text, sentence)
    return Turn(replace(working, before=working, asking=name))


def _list_offers(working: Working, line: Line) -> Turn:
    """List the values of the walk that could stand here, or take the one whose number was typed."""
    found = alike(working)
    if not found:
        return _refuse(working, line.text, "Nothing of this kind is known here.")
    listed = tuple(str(working.offers.index(one)) for one in found)
    after = replace(working, listing=Listing.OFFERS, listed=listed)
    return _pick(after, read_line(line.rest)) if line.rest else Turn(after)


def _pick(working: Working, line: Line) -> Turn:
    """Return what a number of a listing comes to; Enter alone goes back to what was asked."""
    back = replace(working, listing=Listing.NOTHING, listed=())
    if line.empty:
        return Turn(back)
    picked = _numbered(working.listed, line.text)
    if not picked and working.listing is Listing.ACTIONS and line.text in working.listed:
        picked = line.text
    if not picked:
        return _refuse(working, line.text, f"1 to {len(working.listed)}; Enter alone goes back.")
    if working.listing is Listing.ACTIONS:
        return take(back, picked)
    answered = as_answer(back, working.offers[int(picked)])
    assert answered is not None, "only what can be an answer is listed"
    return _taken(back, answered)
