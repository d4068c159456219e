"""From the readings of many rows to the answers of a step, each as the session would judge it.

Owns `Judge`. Where a step judges the least or the greatest of what it reads against cuts of the
nameplate, that is done for all rows at once; everything else, and every number that lies on a cut,
is judged row by row by the session's own functions.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from engine.bands import OTHERWISE, UP_TO
from engine.formula import Formula, FormulaError, Measured, Name, Value
from engine.formula.node import Call, Extreme
from engine.quantity import Kind
from engine.reading import Function, Reading, Special
from engine.session.judging import (
    Judged,
    Known,
    Unplaced,
    classify,
    judge,
    names_of,
    settle_close,
    value_of,
)
from engine.session.known import Keyed, given_values, keyed, lookup, spots_of
from engine.session.state import ReadingKey, State
from engine.session.worked import evaluate
from engine.tree import CARRY_ON, ActHead, Judgement, SortHead, Step, WalkTree
from engine.trial.displays import Display, Displays
from engine.trial.figuring import Figuring, Worked, in_base_units
from engine.trial.walked import Closeness
from engine.unit.meter import Rows
from engine.unit.network import Flags
from engine.unit.rows import Reals

_ON_THE_CUT = 1e-9
"""Share of a cut within which floats are not asked."""
_CLIPPED = frozenset({Kind.VOLTAGE, Kind.CURRENT, Kind.RESISTANCE, Kind.CAPACITANCE})
_OL_IS_MUCH = (Function.OHMS, Function.INSULATION)
"""Functions of which OL falls in the top band, unless it has an answer of its own."""
NEAR = 1.5
"""Half widths within which a reading counts as near a cut."""


class Answer(NamedTuple):
    """What makes two rows go on alike: the judgement that decided, its key, and how sure it is."""

    judgement: int
    key: str
    close: bool
    within: tuple[str, ...] = ()


class Judge:
    """Judges rows that stand at one step of one state."""

    def __init__(self, walk: WalkTree, displays: Displays) -> None:
        self._walk = walk
        self._displays = displays

    # --- what is known of a row -------------------------------------------------------------------

    def knows(self, state: State, row: int) -> Known:
        """Return what one row knows: what is shared, and its own readings."""
        shared = lookup(self._walk, state)

        def known(name: str) -> Value | None:
            name = self._walk.gives.get(name, name)
            value = shared(name)
            if value is None:
                return None
            if name in state.worked:
                return self._worked(state, name, row, value)
            keys = state.named.get(name)
            if keys is None or name in state.numbers:
                return value
            own = tuple(value_of(self._displays.reading(key, row)) for key in keys)
            return own if isinstance(value, tuple) else own[0]

        return known

    def _worked(self, state: State, name: str, row: int, value: Value) -> Value:
        step, _, short = name.rpartition(".")
        head = self._walk.steps[step].head
        assert isinstance(head, ActHead)
        formula = next((one for called, one in head.work_out if called == short), None)
        if formula is None or not self._rests_on_readings(state, step, formula):
            return value
        own: dict[str, Value] = {}
        for key, found in state.named.items():
            if key.startswith(f"{step}."):
                read = tuple(value_of(self._displays.reading(one, row)) for one in found)
                own[key.removeprefix(f"{step}.")] = read if len(read) > 1 else read[0]
        names = names_of(self._walk.steps[step], own, self.knows(state, row))
        return names.own.get(short, value)

    def _rests_on_readings(self, state: State, step: str, formula: Formula) -> bool:
        return any(self._varies(state, step, name) for name in formula.names())

    def _varies(self, state: State, step: str, name: str) -> bool:
        """Return whether what a formula of a step calls so differs from row to row."""
        full = self._walk.gives.get(name, name)
        if full in state.named or f"{step}.{name}" in state.named:
            return True
        head = self._walk.steps[step].head if step in self._walk.steps else None
        if isinstance(head, ActHead):
            if name in {spec.name for spec in head.readings}:
                return True
            own = next((one for called, one in head.work_out if called == name), None)
            if own is not None:
                return self._rests_on_readings(state, step, own)
        if full in state.worked:
            other, _, short = full.rpartition(".")
            head = self._walk.steps[other].head
            assert isinstance(head, ActHead)
            made = next((one for called, one in head.work_out if called == short), None)
            return made is not None and self._rests_on_readings(state, other, made)
        return False

    # --- a step that was read ---------------------------------------------------------------------

    def given(self, wanted: Keyed, there: Mapping[str, bool], row: int) -> dict[str, Value]:
        """Return the readings of one row by name, as a session gathers them."""
        readings: dict[tuple[str, str], Reading | None] = {}
        for spot, key in wanted:
            absent = not there[f"{spot.reading} {spot.label}"]
            readings[spot.reading, spot.label] = (
                None if absent else self._displays.reading(key, row)
            )
        return given_values(readings)

    def answers(
        self, state: State, step: Step, wanted: Keyed, there: Mapping[str, bool], rows: Rows
    ) -> tuple[list[tuple[Answer, Rows]], list[tuple[int, Closeness]]]:
        """Return the answers that rows come to, with the rows of each, and near misses by row."""
        found: dict[Answer, list[Rows]] = {}
        near: list[tuple[int, Closeness]] = []
        left = rows
        judgements = step.head.judgements if isinstance(step.head, ActHead) else ()
        for number, judgement in enumerate(judgements):
            if not left.size:
                break
            if judgement.bands is None:
                left = self._worded(state, step, wanted, there, judgement, number, left, found)
                continue
            quick = self._quickly(state, step, wanted, there, judgement, left)
            if quick is None:
                break
            at, lowest, highest, sure, margins = quick
            keys = _keys(judgement)
            going_on: list[Rows] = []
            for index in np.unique(at[sure]):
                here = sure & (at == index)
                for low, high in {
                    (int(a), int(b)) for a, b in zip(lowest[here], highest[here], strict=True)
                }:
                    same = here & (lowest == low) & (highest == high)
                    reached = range(min(low, int(index)), max(high, int(index)) + 1)
                    others = tuple(keys[one] for one in reached if one != index)
                    key = keys[int(index)]
                    chosen = left[same]
                    within = (key, *others)
                    if not others and judgement.answers[key].then == CARRY_ON:
                        going_on.append(chosen)
                        continue
                    answer = Answer(number, key, bool(others), within if others else ())
                    found.setdefault(answer, []).append(chosen)
            near += [
                (int(left[place]), Closeness(step.name, keys[cut], float(margins[cut, place])))
                for cut, place in zip(*np.nonzero(margins < NEAR), strict=True)
            ]
            unsure = left[~sure]
            for row in unsure:
                self._one(state, step, wanted, there, int(row), number, found)
            left = np.sort(np.concatenate(going_on)) if going_on else left[:0]
            if number == len(judgements) - 1:
                break
        else:
            number = len(judgements)
        if left.size:
            for row in left:
                self._one(state, step, wanted, there, int(row), number, found)
        together = [(answer, np.sort(np.concatenate(parts))) for answer, parts in found.items()]
        return together, near

    def _worded(
        self,
        state: State,
        step: Step,
        wanted: Keyed,
        there: Mapping[str, bool],
        judgement: Judgement,
        number: int,
        rows: Rows,
        found: dict[Answer, list[Rows]],
    ) -> Rows:
        """Keep the answers of a figure that says a word; return the rows that carry on."""
        going_on: list[int] = []
        figuring = self._figuring(state, step, wanted, there, judgement.judge, rows)
        for row in map(int, rows):
            worked = figuring.row(row) if figuring else None
            answer = _word(judgement, number, worked)
            if answer is None:
                self._one(state, step, wanted, there, row, number, found)
            elif not answer.close and judgement.answers[answer.key].then == CARRY_ON:
                going_on.append(row)
            else:
                found.setdefault(answer, []).append(np.array([row], dtype=np.intp))
        return np.array(going_on, dtype=np.intp)

    def _figuring(
        self,
        state: State,
        step: Step,
        wanted: Keyed,
        there: Mapping[str, bool],
        formula: Formula | None,
        rows: Rows,
    ) -> Figuring | None:
        """Return a formula that is one figure, ready for rows; None where it is none such."""
        node = formula.node if formula else None
        if formula is None or not isinstance(node, Call) or not in_base_units(node):
            return None
        places: dict[str, list[Display]] = {}
        for name in formula.names():
            if not self._varies(state, step.name, name):
                continue
            keys = self._places(state, step, wanted, there, [name])
            if not keys:
                return None
            places[name] = [self._displays[key] for key in keys]
        names = names_of(step, {}, self.knows(state, int(rows[0])))

        def constant(part: Formula) -> Value | None:
            return evaluate(part, names.of(part))

        try:
            return Figuring(node, constant, places)
        except (FormulaError, KeyError):
            return None

    def _one(
        self,
        state: State,
        step: Step,
        wanted: Keyed,
        there: Mapping[str, bool],
        row: int,
        first: int,
        found: dict[Answer, list[Rows]],
    ) -> None:
        given = self.given(wanted, there, row)
        names = names_of(step, given, self.knows(state, row))
        answer = _answer(judge(step, given, names, first=first))
        found.setdefault(answer, []).append(np.array([row], dtype=np.intp))

    def _quickly(
        self,
        state: State,
        step: Step,
        wanted: Keyed,
        there: Mapping[str, bool],
        judgement: Judgement,
        rows: Rows,
    ) -> tuple[Rows, Rows, Rows, Flags, Reals] | None:
        """Return band, lowest and highest band, and for which rows that is sure; None for no way.

        Margins are [cuts, rows].
        """
        if judgement.bands is None or not judgement.bands.cuts:
            return None
        values = self._reckoned(state, step, wanted, there, judgement.judge, rows)
        ends = self._cuts(state, step, judgement, rows)
        if values is None or ends is None:
            return None
        value, low, high, known = values
        if Special.OL in judgement.bands.specials:
            known = np.asarray(known & np.isfinite(value))
        cuts = judgement.bands.cuts
        at, lowest, highest = (np.full(rows.size, len(cuts), dtype=np.intp) for _ in range(3))
        sure = known.copy()
        margins = np.full((len(cuts) + 1, rows.size), np.inf)
        number = known & np.isfinite(value)
        half = np.maximum(np.where(number, high, 1.0) - np.where(number, low, 0.0), 2e-300) / 2
        for place in reversed(range(len(cuts))):
            end, up_to = ends[place], cuts[place].words == UP_TO
            for into, what in ((at, value), (lowest, low), (highest, high)):
                inside = what <= end if up_to else what < end
                into[inside] = place
                sure &= np.abs(what - end) > _ON_THE_CUT * max(abs(end), 1e-9)
            margins[place] = np.abs(value - end) / half
        return at, lowest, highest, sure, margins

    def _cuts(
        self, state: State, step: Step, judgement: Judgement, rows: Rows
    ) -> list[float] | None:
        """Return the ends of bands where they are the same for all rows; else None."""
        assert judgement.bands is not None
        ends: list[float] = []
        known = self.knows(state, int(rows[0]))
        names = names_of(step, {}, known)
        for cut in judgement.bands.cuts:
            if any(self._varies(state, step.name, name) for name in cut.at.names()):
                return None
            try:
                end = evaluate(cut.at, names.of(cut.at))
            except (FormulaError, KeyError):
                return None
            if not isinstance(end, Measured):
                return None
            ends.append(float(end.quantity.value))
        return ends if ends == sorted(ends) else None

    def _reckoned(
        self,
        state: State,
        step: Step,
        wanted: Keyed,
        there: Mapping[str, bool],
        formula: Formula | None,
        rows: Rows,
    ) -> tuple[Reals, Reals, Reals, Flags] | None:
        """Return what is judged, its least and most, and where it is a number; None for no way."""
        node = None if formula is None else formula.node
        if isinstance(node, Call):
            return self._figured(state, step, wanted, there, formula, rows)
        if node is None and len(wanted) == 1:
            names, word = [wanted[0][0].reading], ""
        elif isinstance(node, Name):
            names, word = [node.name], ""
        elif isinstance(node, Extreme) and all(isinstance(one, Name) for one in node.parts):
            names = [one.name for one in node.parts if isinstance(one, Name)]
            word = node.word
        else:
            return None
        displays = self._places(state, step, wanted, there, names)
        if not displays or (not word and len(displays) > 1):
            return None
        shown = [self._displays[key] for key in displays]
        value = np.array([one.value[rows] for one in shown])
        half = np.array([one.half[rows] for one in shown])
        over = np.array([one.over[rows] for one in shown])
        known: Flags = np.asarray(~np.array([one.unsteady[rows] for one in shown]).any(axis=0))
        low, high = value - half, value + half
        if word:
            # A magnitude goes no further than zero; what is OL is above every number.
            low = np.maximum(low, np.where(value >= 0, 0.0, -np.inf))
            high = np.minimum(high, np.where(value < 0, 0.0, np.inf))
        if word == "min":
            value, low, high = (
                np.where(over, np.inf, one).min(axis=0) for one in (value, low, high)
            )
            none = over.all(axis=0)
        else:
            value, low, high = (
                np.where(over, np.inf, one).max(axis=0) for one in (value, low, high)
            )
            none = over.any(axis=0)
        if shown[0].function in _OL_IS_MUCH:
            return value, low, high, known
        return value, low, high, np.asarray(known & ~none)

    def _figured(
        self,
        state: State,
        step: Step,
        wanted: Keyed,
        there: Mapping[str, bool],
        formula: Formula | None,
        rows: Rows,
    ) -> tuple[Reals, Reals, Reals, Flags] | None:
        """Return what a figure gives that gives a number; as `_reckoned` does."""
        figuring = self._figuring(state, step, wanted, there, formula, rows)
        if figuring is None:
            return None
        found = np.zeros((3, rows.size))
        known = np.zeros(rows.size, dtype=bool)
        for at, row in enumerate(map(int, rows)):
            worked = figuring.row(row)
            if worked is None or isinstance(worked.centre, str):
                continue
            every = [worked.centre, *(one for one in worked.corners if isinstance(one, float))]
            found[:, at] = worked.centre, min(every), max(every)
            known[at] = True
        return found[0], found[1], found[2], known

    def _places(
        self,
        state: State,
        step: Step,
        wanted: Keyed,
        there: Mapping[str, bool],
        names: Sequence[str],
    ) -> list[ReadingKey]:
        """Return the places of readings by name: of this step, or of one before."""
        found: list[ReadingKey] = []
        asked = {spec.name for spec in step.head.readings} if isinstance(step.head, ActHead) else ()
        for name in names:
            if name in asked:
                found += [
                    key
                    for spot, key in wanted
                    if spot.reading == name and there[f"{spot.reading} {spot.label}"]
                ]
                continue
            full = self._walk.gives.get(name, name)
            if full not in state.named or full in state.worked:
                return []
            found += state.named[full]
        return found

    def twice_close(
        self, state: State, step: Step, wanted: Keyed, there: Mapping[str, bool], row: int
    ) -> str:
        """Return what the session takes where a reading was close for the second time."""
        given = self.given(wanted, there, row)
        names = names_of(step, given, self.knows(state, row))
        judged = judge(step, given, names)
        while isinstance(judged, Judged) and judged.close:
            judged = settle_close(step, judged)
            if judged.outcome.then == CARRY_ON:
                judged = judge(step, given, names, first=judged.judgement + 1)
        return judged.key if isinstance(judged, Judged) else judged.sentence

    # --- what answers itself ----------------------------------------------------------------------

    def silently(self, state: State, step: Step, rows: Rows) -> list[str]:
        """Return the key that a silent step comes to with the readings of each row."""
        if isinstance(step.head, SortHead) and step.head.by_formula is not None:
            judgement = replace(step.head.judgement, judge=step.head.by_formula)
            return self._sorted(state, step, judgement, rows)
        return [self._alone(state, step, int(row)) for row in rows]

    def _sorted(self, state: State, step: Step, judgement: Judgement, rows: Rows) -> list[str]:
        """Return the keys of a sort by a formula; close ones settled as the session does."""
        found: dict[int, str] = {}
        if judgement.bands is None:
            figuring = self._figuring(state, step, (), {}, judgement.judge, rows)
            for row in map(int, rows):
                answer = _word(judgement, 0, figuring.row(row) if figuring else None)
                if answer is not None:
                    found[row] = self._settled(step, answer)
        elif quick := self._quickly(state, step, (), {}, judgement, rows):
            at, lowest, highest, sure, _ = quick
            keys = _keys(judgement)
            for place in np.flatnonzero(sure):
                index = int(at[place])
                reached = range(min(int(lowest[place]), index), max(int(highest[place]), index) + 1)
                within = (keys[index], *(keys[one] for one in reached if one != index))
                answer = Answer(0, keys[index], len(within) > 1, within)
                found[int(rows[place])] = self._settled(step, answer)
        return [
            found[row] if row in found else self._alone(state, step, row) for row in map(int, rows)
        ]

    def _settled(self, step: Step, answer: Answer) -> str:
        if not answer.close:
            return answer.key
        assert isinstance(step.head, SortHead)
        outcome = step.head.judgement.answers[answer.key]
        return settle_close(step, Judged(answer.key, outcome, True, answer.within)).key

    def _alone(self, state: State, step: Step, row: int) -> str:
        known = self.knows(state, row)
        if isinstance(step.head, SortHead):
            judged = classify(step, {}, known)
        else:
            head = step.head
            assert isinstance(head, ActHead)
            wanted = keyed(spots_of(self._walk, state, step), head.leads_off)
            given = self.given(wanted, {f"{s.reading} {s.label}": True for s, _ in wanted}, row)
            judged = judge(step, given, names_of(step, given, known))
        if isinstance(judged, Unplaced):
            return f"? {judged.special}"
        if judged.close:
            judged = settle_close(step, judged)
        return judged.key

    def varies_silently(self, state: State, step: Step) -> bool:
        """Return whether a silent step can come to another answer with another row."""
        head = step.head
        if isinstance(head, SortHead):
            formula = head.by_formula
            cuts = [] if head.judgement.bands is None else head.judgement.bands.cuts
            formulas = [*([formula] if formula else []), *(cut.at for cut in cuts)]
            return any(self._rests_on_readings(state, step.name, one) for one in formulas)
        return isinstance(head, ActHead) and bool(head.readings)


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


def _keys(judgement: Judgement) -> tuple[str, ...]:
    assert judgement.bands is not None
    return (*(cut.key for cut in judgement.bands.cuts), OTHERWISE)


def _answer(judged: Judged | Unplaced) -> Answer:
    if isinstance(judged, Unplaced):
        return Answer(-1, f"{judged.special}: {judged.sentence}", False)
    return Answer(judged.judgement, judged.key, judged.close, judged.within if judged.close else ())
