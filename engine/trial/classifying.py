"""From the readings of many rows to the answers of a step, each as the session would judge it.

Owns `Judge`. What `placing` and `figuring` can tell is told for all rows at once; everything else,
and every number that lies on a cut, is judged row by row by the session's own functions.
"""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from engine.bands import OTHERWISE
from engine.session.judging import Judged, Unplaced, classify, judge, settle_close
from engine.session.known import keyed, spots_of
from engine.session.state import State
from engine.tree import CARRY_ON, ActHead, Judgement, SortHead, Step, WalkTree
from engine.trial.displays import Displays
from engine.trial.figuring import Worked
from engine.trial.knowing import Asked, Knowing
from engine.trial.placing import Placed, Placing, keys_of
from engine.trial.walked import Closeness
from engine.unit.meter import Rows

NEAR = 1.5
"""Half widths within which a reading counts as near a cut."""


class Answer(NamedTuple):
    """What makes two rows go on alike: the judgement that decided, its key, and how sure it is."""

    judgement: int
    key: str
    close: bool
    within: tuple[str, ...] = ()
    """Where close: every key that it could be, its own first."""


Found = dict[Answer, list[int]]


class Judge:
    """Judges rows that stand at one step of one state."""

    def __init__(self, walk: WalkTree, displays: Displays) -> None:
        self._walk = walk
        self.knowing = Knowing(walk, displays)
        self._placing = Placing(self.knowing)

    # --- a step that was read ---------------------------------------------------------------------

    def answers(
        self, asked: Asked, rows: Rows
    ) -> tuple[list[tuple[Answer, Rows]], list[tuple[int, Closeness]]]:
        """Return the answers that rows come to, with the rows of each, and near misses by row."""
        found: Found = {}
        near: list[tuple[int, Closeness]] = []
        left = rows
        head = asked.step.head
        for number, judgement in enumerate(head.judgements if isinstance(head, ActHead) else ()):
            if not left.size:
                break
            if judgement.bands is None:
                left = self._by_words(asked, judgement, number, left, found)
                continue
            placed = self._placing.placed(asked, judgement, left)
            if placed is None:
                self._one_by_one(asked, left, number, found)
                left = left[:0]
                break
            near += _near(asked.step, placed, judgement, left)
            left = self._by_bands(asked, placed, (number, judgement), left, found)
        self._one_by_one(asked, left, 0, found)
        return [(answer, np.sort(np.array(some))) for answer, some in found.items()], near

    def _by_bands(
        self,
        asked: Asked,
        placed: Placed,
        judged: tuple[int, Judgement],
        rows: Rows,
        found: Found,
    ) -> Rows:
        """Keep the answers of rows that are placed; return the rows that carry on."""
        number, judgement = judged
        keys = keys_of(judgement)
        going_on: list[int] = []
        self._one_by_one(asked, rows[~placed.sure], number, found)
        for place in np.flatnonzero(placed.sure):
            within = placed.within(keys, int(place))
            if len(within) > 1:
                found.setdefault(Answer(number, within[0], True, within), []).append(
                    int(rows[place])
                )
            elif judgement.answers[within[0]].then == CARRY_ON:
                going_on.append(int(rows[place]))
            else:
                found.setdefault(Answer(number, within[0], False), []).append(int(rows[place]))
        return np.array(going_on, dtype=np.intp)

    def _by_words(
        self, asked: Asked, judgement: Judgement, number: int, rows: Rows, found: Found
    ) -> Rows:
        """Keep the answers of a figure that says a word; return the rows that carry on."""
        going_on: list[int] = []
        figuring = self._placing.figuring(asked, judgement.judge, rows)
        for row in map(int, rows):
            answer = _word(judgement, number, figuring.row(row) if figuring else None)
            if answer is None:
                self._one_by_one(asked, np.array([row]), number, found)
            elif not answer.close and judgement.answers[answer.key].then == CARRY_ON:
                going_on.append(row)
            else:
                found.setdefault(answer, []).append(row)
        return np.array(going_on, dtype=np.intp)

    def _one_by_one(self, asked: Asked, rows: Rows, first: int, found: Found) -> None:
        for row in map(int, rows):
            given = self.knowing.given(asked, row)
            judged = judge(asked.step, given, self.knowing.names(asked, row), first=first)
            found.setdefault(_answer(judged), []).append(row)

    def twice_close(self, asked: Asked, row: int) -> str:
        """Return what the session takes where a reading was close for the second time."""
        given, names = self.knowing.given(asked, row), self.knowing.names(asked, row)
        judged = judge(asked.step, given, names)
        while isinstance(judged, Judged) and judged.close:
            judged = settle_close(asked.step, judged)
            if judged.outcome.then == CARRY_ON:
                judged = judge(asked.step, given, names, first=judged.judgement + 1)
        return judged.key if isinstance(judged, Judged) else judged.sentence

    # --- what answers itself ----------------------------------------------------------------------

    def differs_silently(self, state: State, step: Step) -> bool:
        """Return whether a silent step can come to another answer with another row."""
        head = step.head
        if not isinstance(head, SortHead):
            return isinstance(head, ActHead) and bool(head.readings)
        cuts = head.judgement.bands.cuts if head.judgement.bands else ()
        formulas = [*([head.by_formula] if head.by_formula else []), *(cut.at for cut in cuts)]
        return any(self.knowing.rests_on_readings(state, step.name, one) for one in formulas)

    def silently(self, state: State, step: Step, rows: Rows) -> list[str]:
        """Return the key that a silent step comes to with the readings of each row."""
        found: dict[int, str] = {}
        if isinstance(step.head, SortHead) and step.head.by_formula is not None:
            judgement = replace(step.head.judgement, judge=step.head.by_formula)
            found = self._sorted(Asked(state, step), judgement, rows)
        return [
            found[row] if row in found else self._alone(state, step, row) for row in map(int, rows)
        ]

    def _sorted(self, asked: Asked, judgement: Judgement, rows: Rows) -> dict[int, str]:
        """Return the keys of a sort by a formula, of those rows that can be told together."""
        found: dict[int, str] = {}
        if judgement.bands is None:
            figuring = self._placing.figuring(asked, judgement.judge, rows)
            for row in map(int, rows):
                answer = _word(judgement, 0, figuring.row(row) if figuring else None)
                if answer is not None:
                    found[row] = _settled(asked.step, answer)
        elif placed := self._placing.placed(asked, judgement, rows):
            keys = keys_of(judgement)
            for place in np.flatnonzero(placed.sure):
                within = placed.within(keys, int(place))
                answer = Answer(0, within[0], len(within) > 1, within)
                found[int(rows[place])] = _settled(asked.step, answer)
        return found

    def _alone(self, state: State, step: Step, row: int) -> str:
        if isinstance(step.head, SortHead):
            judged = classify(step, {}, self.knowing.of(state, row))
        else:
            assert isinstance(step.head, ActHead)
            wanted = keyed(spots_of(self._walk, state, step), step.head.leads_off)
            there = {(spot.reading, spot.label): True for spot, _ in wanted}
            asked = Asked(state, step, wanted, there)
            judged = judge(step, self.knowing.given(asked, row), self.knowing.names(asked, row))
        if isinstance(judged, Unplaced):
            return f"? {judged.special}"
        return settle_close(step, judged).key if judged.close else judged.key


def _near(
    step: Step, placed: Placed, judgement: Judgement, rows: Rows
) -> list[tuple[int, Closeness]]:
    keys = keys_of(judgement)
    return [
        (int(rows[place]), Closeness(step.name, keys[cut], float(placed.margins[cut, place])))
        for cut, place in zip(*np.nonzero(placed.margins < NEAR), strict=True)
    ]


def _settled(step: Step, answer: Answer) -> str:
    """Return the key that a sort takes: a close one is settled, since nothing can be read again."""
    if not answer.close:
        return answer.key
    assert isinstance(step.head, SortHead)
    outcome = step.head.judgement.answers[answer.key]
    return settle_close(step, Judged(answer.key, outcome, True, answer.within)).key


def _word(judgement: Judgement, number: int, worked: Worked | None) -> Answer | None:
    """Return the answer of a figure that says a word; None where the session has to say it."""
    if worked is None or not isinstance(worked.centre, str):
        return None
    answers = judgement.answers
    key = worked.centre if worked.centre in answers else OTHERWISE
    if key not in answers:
        return None
    said = dict.fromkeys([worked.centre, *worked.corners])
    others = tuple(str(one) for one in said if one in answers and one != key)
    return Answer(number, key, bool(others), (key, *others) if others else ())


def _answer(judged: Judged | Unplaced) -> Answer:
    if isinstance(judged, Unplaced):
        return Answer(-1, f"{judged.special}: {judged.sentence}", False)
    return Answer(judged.judgement, judged.key, judged.close, judged.within if judged.close else ())
