"""What a door shows while a figure is picked, filled in and answered."""

from __future__ import annotations

from dataclasses import dataclass

from engine.figure import FigureError, Input
from engine.guide.choices import numbered
from engine.guide.figure_answer import unit_in_words, unit_shown, value_in_words
from engine.guide.figure_given import unit_of
from engine.guide.working_out import letters_of
from engine.guide.working_state import (
    Answered,
    Listing,
    Working,
    alike,
    answered_in_words,
    default_in_words,
    footing,
    label,
    offered,
)
from engine.quantity import spelled, unit_key
from engine.trade.catalogue import FIGURES, SUBJECTS

TITLE = "Work it out"
WHICH = "which?"


@dataclass(frozen=True, slots=True)
class Option:
    """Something to be picked by its number."""

    number: int
    words: str
    about: str = ""
    """More about it, where there is room for that."""

    def __str__(self) -> str:
        return f"{self.number:2} {self.words}".rstrip() + (f": {self.about}" if self.about else "")


@dataclass(frozen=True, slots=True)
class Page:
    """One thing to be asked or shown, from top to bottom."""

    title: str
    says: tuple[str, ...] = ()
    options: tuple[Option, ...] = ()
    asides: tuple[str, ...] = ()
    """Worth knowing, and the first to go where there is no room."""
    wanted: str = ""
    """What stands before the entry line's ``>``."""
    enter: str = ""
    """What Enter alone does; empty where it does nothing."""

    def lines(self, *, asides: bool = True) -> tuple[str, ...]:
        """Return the page as lines, for a door that only writes lines."""
        enter = (f"Enter = {self.enter}",) if self.enter else ()
        return (*self.says, *map(str, self.options), *(self.asides if asides else ()), *enter)


def page(working: Working) -> Page:
    """Return what to show now."""
    if working.listing is Listing.ACTIONS:
        words = letters_of(working)
        options = (Option(n, f"{one}  {words[one]}") for n, one in enumerate(working.listed, 1))
        return Page("Everything you can do here", (), tuple(options), (), WHICH, "back")
    if not working.figure:
        return _to_pick(working)
    if working.listing is Listing.OFFERS:
        return _offers(working)
    return _asked(working) if working.asking else _answer(working)


def _to_pick(working: Working) -> Page:
    if working.found:
        named = ((FIGURES[name].title, label(name)) for name in working.found)
        options = tuple(Option(n, *one) for n, one in enumerate(named, 1))
        return Page(TITLE, ("Which figure?",), options, (), WHICH, "all subjects")
    subjects = tuple(
        Option(n, label(one).capitalize(), "; ".join(map(label, names)))
        for n, (one, names) in enumerate(SUBJECTS.items(), 1)
    )
    says = ("A number, or part of what is to be worked out.",)
    return Page(TITLE, says, subjects, (), WHICH, "back")


def _offers(working: Working) -> Page:
    found = (working.offers[int(one)] for one in working.listed)
    options = tuple(Option(n, one.text, one.about) for n, one in enumerate(found, 1))
    says = (f"Known on this walk, for {label(working.asking)}:", working.item.sentence)
    return Page(working.about.title, says, options, (), WHICH, "back")


def _asked(working: Working) -> Page:
    item = working.item
    answered = working.answers.get(item.name)
    offer = None if answered else offered(working)
    says = [item.sentence]
    if item.many:
        says.append("Several, with a space between them.")
    if "OL" in item.special:
        says.append("OL is a value here.")
    if offer and offer.about:
        says.append(f"From this walk: {answered_words(offer)} ({offer.about}).")
    if len(alike(working)) > bool(offer and offer.about):
        says.append("k lists what this walk has read of that kind.")
    options = tuple(Option(one.number, one.words) for one in numbered(item.words))
    return Page(
        working.about.title,
        tuple(says),
        options,
        _so_far(working),
        _wanted(working, item),
        _enter(item, answered, offer),
    )


def _wanted(working: Working, item: Input) -> str:
    """Return ``volts?``, ``rated V?``: the unit is not said twice."""
    name, unit = label(item.name), unit_in_words(unit_of(item, working.degrees))
    meant = [one.symbol for one in spelled(unit_key(name.replace(" ", "")))]
    return f"{name}?" if not unit or unit in meant else f"{name} {unit}?"


def _enter(item: Input, answered: Answered | None, offer: Answered | None) -> str:
    if answered:
        return f"keep {answered_in_words(item, answered)}"
    if offer:
        return f"{answered_words(offer)}{', this walk' if offer.about else ''}"
    return default_in_words(item) or "leave it out" if item.optional else ""


def answered_words(one: Answered) -> str:
    """Return a value that Enter takes, as it is understood."""
    return one.given.shown if one.given else ""


def _so_far(working: Working) -> tuple[str, ...]:
    if working.asking in working.answers:
        return ()
    return tuple(option.words for option in _values(working))


def _values(working: Working) -> tuple[Option, ...]:
    """Return what the inputs were given, each by the number that changes it."""
    inputs = working.inputs
    return tuple(
        Option(number, f"{label(name)}: {answered_in_words(inputs[name], one)}")
        for number, (name, one) in enumerate(working.answers.items(), 1)
    )


def _answer(working: Working) -> Page:
    """Return the answer with what it was worked out from; where there is none, why not."""
    figure = working.about
    try:
        says = _outputs(working)
    except FigureError as error:
        says = (error.sentence,)
    return Page(
        figure.title, says, _values(working), footing(figure), "change which?", "another figure"
    )


def _outputs(working: Working) -> tuple[str, ...]:
    """Return every output that applies, the principal one first; raises FigureError."""
    figure, given, answer = working.about, working.given, working.answer()
    names = sorted(answer, key=lambda name: name != figure.principal)
    return tuple(
        f"{label(name)}: "
        + value_in_words(answer[name], unit_shown(figure, given, name, working.degrees))
        for name in names
        if answer[name] is not None
    )
