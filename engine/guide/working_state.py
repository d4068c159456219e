"""Where working out a figure stands: what was picked, what was given, what the walk could give.

Values only; `working_out` says how one follows from another, `working_page` how one is shown.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from engine.figure import Figure, Input
from engine.guide.figure_answer import in_units_given, worked_out
from engine.guide.figure_given import KIND, Given, agreed, understood
from engine.quantity import FAHRENHEIT, Kind
from engine.reading import Refused
from engine.trade.catalogue import FIGURES

NOT_GIVEN = "not given"


class Listing(StrEnum):
    """What is listed in the place of a question, to be picked by its number."""

    NOTHING = ""
    OFFERS = "values of this walk"
    ACTIONS = "what can be done here"


@dataclass(frozen=True, slots=True)
class Offer:
    """A value that a walk has read, or its nameplate says, which an input can take."""

    text: str
    """As it would be typed: ``231.3 V 231.5 V 233.3 V``."""
    about: str
    """What it is and where it was read, in words."""
    kind: Kind | None
    """What it measures; None for a word."""
    count: int = 1
    """How many values it holds."""
    meant_for: frozenset[str] = frozenset()
    """The inputs that ask for just this, as ``figure.input``; there it is what Enter takes."""


@dataclass(frozen=True, slots=True)
class Answered:
    """What an input was given."""

    text: str = ""
    """As it was typed, or would be."""
    given: Given | None = None
    """None where it was left out."""
    about: str = ""
    """Where the walk read it; empty for what was typed."""


@dataclass(frozen=True)
class Working:
    """Where the conversation stands."""

    offers: tuple[Offer, ...] = ()
    """What is known on the walk, what was read last first."""
    on_walk: bool = False
    degrees: str = FAHRENHEIT
    found: tuple[str, ...] = ()
    """The figures to pick from; empty while a subject is to be picked."""
    figure: str = ""
    """The figure picked; empty before."""
    answers: Mapping[str, Answered] = field(default_factory=dict)
    """By input, in the order in which the figure asks."""
    asking: str = ""
    """The input that is asked for now; empty once the figure is filled in."""
    listing: Listing = Listing.NOTHING
    listed: tuple[str, ...] = ()
    """What the numbers of the listing stand for."""
    before: Working | None = field(default=None, compare=False, repr=False)
    """How it stood before the last entry that can be taken back."""

    @property
    def about(self) -> Figure:
        """The figure picked; raises KeyError before."""
        return FIGURES[self.figure]

    @property
    def item(self) -> Input:
        """The input that is asked for; raises KeyError where none is."""
        return self.inputs[self.asking]

    @property
    def inputs(self) -> dict[str, Input]:
        """The inputs of the figure by name, in the order of asking."""
        return {one.name: one for one in self.about.inputs}

    @property
    def given(self) -> dict[str, Given]:
        """What was given so far by input, without what was left out."""
        known = {name: one.given for name, one in self.answers.items() if one.given}
        return agreed(self.inputs, known)

    def answer(self) -> dict[str, object]:
        """Return what the figure comes to, in the units given; raises FigureError."""
        given = self.given
        return in_units_given(self.about, given, worked_out(self.about, given), self.degrees)


def offered(working: Working) -> Answered | None:
    """Return what Enter takes because it is known: from the walk, or from the units typed."""
    item = working.item
    if item.name == KIND and KIND in working.given:
        implied = working.given[KIND]
        return Answered(implied.shown, implied)
    meant = [one for one in working.offers if f"{working.figure}.{item.name}" in one.meant_for]
    return next((found for one in meant if (found := as_answer(working, one))), None)


def alike(working: Working) -> tuple[Offer, ...]:
    """Return the values of the walk that are of a kind the input can take, as many as it takes."""
    item = working.item
    if item.default:
        # How good the meter is, or the line's frequency: no reading stands for that.
        return ()
    kinds = {item.kind, *(kind for kind, _ in item.instead)} - {None}
    return tuple(
        one
        for one in working.offers
        if one.kind in kinds and (item.many or one.count == 1) and as_answer(working, one)
    )


def as_answer(working: Working, offer: Offer) -> Answered | None:
    """Return a value of the walk as the answer to what is asked; None where it can't be one."""
    try:
        given = understood(working.item, offer.text, degrees=working.degrees)
    except Refused:
        return None
    return Answered(offer.text, given, offer.about)


def answered_in_words(item: Input, answered: Answered) -> str:
    """Return what an input was given: ``20.8 V``, ``9 A, from this walk``, ``60 Hz, not given``."""
    if answered.given is None:
        usual = default_in_words(item)
        return f"{usual}, {NOT_GIVEN}" if usual else NOT_GIVEN
    words = answered.given.shown.removesuffix(" times")
    return f"{words}, from this walk" if answered.about else words


def default_in_words(item: Input) -> str:
    """Return what an optional input is taken as when it is left out; empty where it is nothing."""
    return understood(item, item.default).shown.removesuffix(" times") if item.default else ""


def footing(figure: Figure) -> tuple[str, ...]:
    """Return what a person must know to trust a figure: its limits first, formula, source."""
    lines = (f"Formula: {figure.formula}", f"Source: {figure.source}")
    return (f"Limits: {figure.limits}", *lines) if figure.limits else lines


def label(name: str) -> str:
    """Return the name of an input or an output in words."""
    return name.replace("_", " ")
