"""Which answers of a step end elsewhere, and for which readings, choices and nameplates."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product, zip_longest
from math import prod

from engine.bands import OTHERWISE, Bands, place
from engine.formula import FormulaError, UnprovableError
from engine.formula.writing import in_text
from engine.loader.kinds import judgements_of, nameplate_box, worked_out
from engine.reading import Special
from engine.revision.cells import Keys, Range, ranges
from engine.revision.ending import (
    ASKED,
    NO_ANSWER,
    Ending,
    by_new_names,
    ending_of,
    seen_from,
    told_apart,
)
from engine.session.judging import holds
from engine.trade.catalogue import FIGURES
from engine.tree import (
    STUCK_REASONS,
    ActHead,
    Judgement,
    Outcome,
    Step,
    UseHead,
    WalkTree,
)
from engine.vocabulary import Condition, Field

MOST_WORDS = 4096
"""Combinations of nameplate words that are tried for one condition."""
MOST_SAID = 3
"""Nameplates that one sentence names."""
Given = str | tuple[str, ...]
Change = tuple[Ending, Ending]
"""Where an answer ended, and where it ends now."""


@dataclass(frozen=True, slots=True)
class Moved:
    """One answer of a step that ends elsewhere."""

    step: str
    """The step's title."""
    answer: str
    """``20.4 V to 21 V``, ``"fit"``, ``OL``, ``can't reach``."""
    was: str
    now: str
    example: str = ""
    """The range in numbers, and the nameplate that they are of."""

    def __str__(self) -> str:
        """Return it as a sentence."""
        example = f" ({self.example})" if self.example else ""
        return f"{self.step}: {self.answer}{example} was {self.was}, is now {self.now}."


class Endings:
    """The endings of two trees, step by step."""

    def __init__(self, old: WalkTree, new: WalkTree, names: Mapping[str, str]) -> None:
        self._old = old
        self._new = new
        self._names = names
        """Steps that have another name now."""
        boxes = [nameplate_box(walk.fields) for walk in (old, new)]
        self._boxes = boxes[:1] if boxes[0] == boxes[1] else boxes

    def moved(self, title: str, old: Step, new: Step) -> Iterator[Moved]:
        """Yield every answer of a step that ends elsewhere now."""
        for answer, example, (was, now) in self._differences(old, new):
            before, after = told_apart(seen_from(new.name, was), seen_from(new.name, now))
            yield Moved(title, answer, before, after, example)

    def _differences(self, old: Step, new: Step) -> Iterator[tuple[str, str, Change]]:
        yield from self._conditions(old, new)
        if type(old.head) is not type(new.head):
            return
        pairs = zip_longest(judgements_of(old), judgements_of(new), fillvalue=Judgement({}))
        for before, after in pairs:
            yield from self._judgement(old, new, before, after)
        if isinstance(old.head, UseHead) and isinstance(new.head, UseHead):
            yield from self._answers(old, new, old.head.returns, new.head.returns)
        was, now = (Ending(to=step.then) for step in (old, new))
        yield from self._one("done", was, now)
        if isinstance(old.head, ActHead):
            yield from self._cannot(old, new)

    def _cannot(self, old: Step, new: Step) -> Iterator[tuple[str, str, Change]]:
        """Yield where a check that can't be made leads now, reasons that fare alike together."""
        alike: dict[Change, list[str]] = {}
        for reason in STUCK_REASONS:
            was, now = (Ending(to=step.cannot.get(reason, "")) for step in (old, new))
            for _, _, change in self._one(reason, was, now):
                alike.setdefault(change, []).append(reason)
        for change, reasons in alike.items():
            every = len(reasons) == len(STUCK_REASONS)
            why = "whatever the reason" if every else ", ".join(reasons)
            yield f"can't, {why},", "", change

    def _one(self, answer: str, was: Ending, now: Ending) -> Iterator[tuple[str, str, Change]]:
        was = by_new_names(was, self._names)
        if was != now:
            yield answer, "", (was, now)

    def _answers(
        self,
        old: Step,
        new: Step,
        before: Mapping[str, Outcome],
        after: Mapping[str, Outcome],
    ) -> Iterator[tuple[str, str, Change]]:
        """Yield the choices, or words of return, that end elsewhere."""
        for key in dict.fromkeys((*before, *after)):
            was = self._ending(self._old, old, before, key)
            now = self._ending(self._new, new, after, key)
            yield from self._one(f'"{key}"', was, now)

    @staticmethod
    def _ending(walk: WalkTree, step: Step, answers: Mapping[str, Outcome], key: str) -> Ending:
        outcome = answers.get(key) or answers.get(OTHERWISE)
        return ending_of(outcome, step, key, walk.tree.if_stuck) if outcome else NO_ANSWER

    # --- bands ------------------------------------------------------------------------------------

    def _judgement(
        self, old: Step, new: Step, before: Judgement, after: Judgement
    ) -> Iterator[tuple[str, str, Change]]:
        if before.bands is None or after.bands is None:
            yield from self._answers(old, new, before.answers, after.answers)
            return
        change = self._change_of(old, new, before, after)
        try:
            bands = _filled(old, before.bands), _filled(new, after.bands)
            found = list(ranges(*bands, self._boxes, change, _plain))
            found += self._not_numbers(*bands, change)
        except (UnprovableError, FormulaError):
            yield from self._key_by_key(before, after, change)
            return
        judged = f"{in_text(after.judge, FIGURES, _plain)} " if after.judge else ""
        for one in found:
            yield f"{judged}{one.where}", one.example, one.change

    def _change_of(
        self, old: Step, new: Step, before: Judgement, after: Judgement
    ) -> Callable[[Keys], Change | None]:
        """Return a function that tells what has changed for a reading in two bands."""

        def change(keys: Keys) -> Change | None:
            was = ending_of(before.answers.get(keys[0]), old, "", self._old.tree.if_stuck)
            now = ending_of(after.answers.get(keys[1]), new, "", self._new.tree.if_stuck)
            was = by_new_names(was, self._names)
            return (was, now) if was != now else None

        return change

    def _not_numbers(
        self, old: Bands, new: Bands, change: Callable[[Keys], Change | None]
    ) -> Iterator[Range[Change]]:
        """Yield what a meter shows instead of a number, where that ends elsewhere."""
        names = old.names() | new.names()
        values = next(self._boxes[-1].corners(names))
        for special in Special:
            before, after = (place(bands, special, values, FIGURES).key for bands in (old, new))
            if found := change((before, after)):
                yield Range(str(special), found)

    @staticmethod
    def _key_by_key(
        before: Judgement, after: Judgement, change: Callable[[Keys], Change | None]
    ) -> Iterator[tuple[str, str, Change]]:
        """Yield the bands that end elsewhere, by their keys: of cuts that hang on readings."""
        for key in dict.fromkeys((*before.answers, *after.answers)):
            if found := change((key, key)):
                was, now = found
                was = was if key in before.answers else NO_ANSWER
                yield key, "", (was, now if key in after.answers else NO_ANSWER)

    # --- conditions -------------------------------------------------------------------------------

    def _conditions(self, old: Step, new: Step) -> Iterator[tuple[str, str, Change]]:
        """Yield the nameplates on which a step is asked, or passed over, and was not."""
        fields = {**self._old.fields, **self._new.fields}
        by_change: dict[Change, list[str]] = {}
        for said, words in _combinations((*old.condition, *new.condition), fields):
            was = ASKED if holds(old.condition, words) else Ending(to=old.if_not)
            now = ASKED if holds(new.condition, words) else Ending(to=new.if_not)
            was = by_new_names(was, self._names)
            if was != now:
                by_change.setdefault((was, now), []).append(said)
        for change, several in by_change.items():
            yield f"with {_some(several)}", "", change


def _combinations(
    condition: Condition, fields: Mapping[str, Field]
) -> Iterator[tuple[str, dict[str, Given]]]:
    """Yield every combination of the words that a condition asks for, in words and as given.

    Nothing where there are more of them than can be tried.
    """
    asked: dict[str, dict[str, None]] = {}
    for test in condition:
        if test.name in fields:
            asked.setdefault(test.name, {}).update(dict.fromkeys(test.words))
    options = [_options(fields[name], tuple(words)) for name, words in asked.items()]
    if prod(map(len, options)) > MOST_WORDS:
        return
    for chosen in product(*options):
        said = ", ".join(words for words, _ in chosen)
        yield said, dict(zip(asked, (given for _, given in chosen), strict=True))


def _options(field: Field, words: tuple[str, ...]) -> list[tuple[str, Given]]:
    """Return what a question may have been answered, in words and as given."""
    name = _plain(field.name)
    if not field.many:
        return [(f"{name} {word}", word) for word in field.words]
    several: list[tuple[str, Given]] = []
    for has in product((True, False), repeat=len(words)):
        given = tuple(word for word, there in zip(words, has, strict=True) if there)
        lacks = tuple(word for word in words if word not in given)
        said = [f"{name} {', '.join(given)}"] if given else []
        said += [f"no {' and no '.join(lacks)}"] if lacks else []
        several.append((", ".join(said), given))
    return several


def _some(several: list[str]) -> str:
    """Return the first of several things in words, and how many more there are."""
    more = len(several) - MOST_SAID
    return "; or ".join(several[:MOST_SAID]) + (f"; and {more} more" if more > 0 else "")


def _filled(step: Step, bands: Bands) -> Bands:
    """Return bands with what the step works out put in."""
    cuts = tuple(replace(cut, at=worked_out(step, cut.at)) for cut in bands.cuts)
    return replace(bands, cuts=cuts)


def _plain(name: str) -> str:
    return name.replace("_", " ")
