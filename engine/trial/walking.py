"""Trees walked by many rows at once: rows that have answered alike share one session.

Owns `walk_all`. Groups of rows stand at a step with one state of the session; the safety model is
asked once for the group, before anything is read. What a step reads is read for all of its rows,
they part by what they come to, and the session goes on once for each answer. A row never depends
on the rows it is walked with.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime

import numpy as np

from engine.entries import NOT_THERE, Entry, EntryKind, Said
from engine.guide.on_nameplate import field_answer
from engine.guide.talk import QUIET, Reply, Talk, View
from engine.guide.typed import typed
from engine.power import Act
from engine.session.advancing import advance, begin
from engine.session.known import keyed, spots_of
from engine.session.state import ReadingKey, State, Took
from engine.session.steps import is_repair, refusals, step_named
from engine.tree import DONE, REPAIR, ActHead, SortHead, Step, WalkTree
from engine.trial.answering import Choosing
from engine.trial.bridge import has_point, points_of, wanted, when_of
from engine.trial.classifying import Answer, Judge
from engine.trial.displays import Displays
from engine.trial.knowing import Asked
from engine.trial.site import Site, Work
from engine.trial.waiting import Group, Waiting
from engine.trial.walked import Closeness, Passing, Walked
from engine.unit.faults import Row
from engine.unit.meter import Rows
from engine.unit.network import Flags
from engine.unit.unit import Unit

NOON = datetime(2026, 1, 1, 12, tzinfo=UTC)
"""When every row is walked; nothing depends on it."""
MOST = 600
"""Answers after which a walk is taken to go in a circle."""
_BY = "trial"
_MENDS = (Act.REPAIR, Act.HANDS_ON, Act.HANDS_IN)


Answered = list[tuple[Answer, Rows]]


@dataclass(frozen=True, slots=True)
class _Out:
    """Rows whose walk is over, and what stopped it where it did not end."""

    state: State
    rows: Rows
    stuck: str = ""
    unsafe: str = ""


def walk_all(
    walk: WalkTree,
    unit: Unit,
    rows: Sequence[Row],
    seed: int = 1,
    told: Callable[[int], None] = lambda rows: None,
) -> list[Walked]:
    """Return what comes of every row, in their order; ``told`` how many more have ended."""
    return Walking(walk, unit, rows, seed).walked(told)


class Walking:
    """All rows of a trial on their way."""

    def __init__(self, walk: WalkTree, unit: Unit, rows: Sequence[Row], seed: int = 1) -> None:
        self.walk = walk
        self.unit = unit
        self.rows = tuple(rows)
        self.site = Site(unit, rows, seed)
        self.displays = Displays(len(rows))
        self._judge = Judge(walk, self.displays)
        self._choosing = Choosing(self.site)
        self._plates: dict[tuple[str, str], Entry | str] = {}
        self._near: dict[int, list[Closeness]] = {}

    def walked(self, told: Callable[[int], None] = lambda rows: None) -> list[Walked]:
        """Return what comes of every row."""
        every = np.arange(len(self.rows))
        found: list[Walked | None] = [None] * len(self.rows)
        waiting = Waiting()
        if every.size:
            waiting.add(Group(begin(self.walk), every, Work(), 0))
        while group := waiting.next():
            for one in self._onward(group):
                if isinstance(one, Group):
                    waiting.add(one)
                else:
                    self._finish(one, found)
                    told(one.rows.size)
        return [one for one in found if one is not None]

    # --- one step of a group ----------------------------------------------------------------------

    def _onward(self, group: Group) -> Iterable[Group | _Out]:
        state = group.state
        if not state.step or state.end or state.handed_to:
            return [_Out(state, group.rows)]
        if group.answers >= MOST:
            return [_Out(state, group.rows, f"The walk goes in a circle at {state.step}.")]
        if state.needs:
            return self._nameplate(group)
        step = step_named(self.walk, state.step)
        refused = refusals(self.walk, state.power, step)
        if refused:
            sentence = f"{refused[0].rule}: {refused[0].sentence} ({step.title})"
            return [_Out(state, group.rows, unsafe=sentence)]
        head = step.head
        assert isinstance(head, ActHead)
        if head.readings:
            return self._read(group, step, head)
        return self._choose(group, step, head)

    def _nameplate(self, group: Group) -> list[Group | _Out]:
        """Answer a question about the nameplate, for each of the answers that rows have."""
        field = self.walk.fields[group.state.needs]
        texts: dict[str, list[int]] = {}
        for row in group.rows:
            plate = dict(self.unit.nameplate)
            for fault in self.rows[row].faults:
                plate.update(fault.nameplate)
            said = plate.get(field.name)
            text = field.default if said is None else ", ".join(said) or "none"
            texts.setdefault(text, []).append(int(row))
        out: list[Group | _Out] = []
        for text, rows in texts.items():
            here = np.array(rows, dtype=np.intp)
            entry = self._plate(field.name, text, group.state)
            if isinstance(entry, str):
                out.append(_Out(group.state, here, entry))
            else:
                out.append(self._gone_on(group, entry, here, group.work))
        return out

    def _plate(self, name: str, text: str, state: State) -> Entry | str:
        """Return the entry of a nameplate's answer, or why it was not taken."""
        if (name, text) not in self._plates:
            view = View(self.walk, state, (), _BY)
            reply = field_answer(view, self.walk.fields[name], QUIET, text, NOON)
            if not reply.entries and reply.talk is not QUIET:
                reply = self._sure(view, reply.talk)
            lines = (*reply.refused, *reply.lines)
            self._plates[name, text] = (
                reply.entries[0] if reply.entries else f"{name}: {' '.join(lines)}"
            )
        return self._plates[name, text]

    def _sure(self, view: View, talk: Talk) -> Reply:
        return typed(view, talk, "1", NOON)

    # --- what is not read with a meter ------------------------------------------------------------

    def _choose(self, group: Group, step: Step, head: ActHead) -> list[Group | _Out]:
        work = done(group.work, head)
        if head.act is Act.SWITCH_ON:
            self.site.reset(group.rows, head.device)
        parts = self._choosing.answers(step, head, work, group.rows)
        if head.act in (Act.RUN, Act.SWITCH_ON, Act.VERIFY):
            self.site.happened(work, group.rows)
        out: list[Group | _Out] = []
        if head.act in _MENDS and (live := self._live(head, work, group.rows)).any():
            sentence = f"hands on live: {step.title}, and there are 50 V or more in {head.zone}."
            out.append(_Out(group.state, group.rows[live], unsafe=sentence))
            parts = [(key, np.setdiff1d(rows, group.rows[live])) for key, rows in parts]
            parts = [(key, rows) for key, rows in parts if rows.size]
        kind = EntryKind.REPAIR if is_repair(step.name) else EntryKind.ANSWER
        for key, rows in parts:
            after = self._mended(work, step, head, key, rows)
            entry = _entry(kind, step, outcome=key)
            out += self._advanced(group, entry, rows, after)
        return out

    def _live(self, head: ActHead, work: Work, rows: Rows) -> Flags:
        """Return the rows in which hands would meet volts in the zone that they go to."""
        points = self.walk.vocabulary.points.values()
        there = [one.name for one in points if one.zone == head.zone and head.zone]
        return self.site.live(work, rows, [one for one in there if has_point(self.unit, one)])

    def _mended(self, work: Work, step: Step, head: ActHead, key: str, rows: Rows) -> Work:
        """Return the work after a repair that was done, with what blows put in new."""
        if not is_repair(step.name) or head.act not in _MENDS or key != DONE:
            return work
        finding = self.walk.tree.findings[step.name.removeprefix(REPAIR)]
        self.site.replaced(rows, finding.device)
        return work._replace(repaired=work.repaired | {finding.suspect})

    # --- what is --------------------------------------------------------------------------------

    def _read(self, group: Group, step: Step, head: ActHead) -> list[Group | _Out]:
        spots = keyed(spots_of(self.walk, group.state, step), head.leads_off)
        there: dict[tuple[str, str], bool] = {}
        live = np.zeros(group.rows.size, dtype=bool)
        for spot, key in spots:
            points = points_of(spot)
            has = all(has_point(self.unit, point) for point in points)
            there[spot.reading, spot.label] = has
            if not has and not spot.may_be_missing:
                return self._cannot(group, step)
            if not has:
                continue
            when = when_of(spot)
            need = wanted(self.walk, self.unit, step, when)
            shown = self.site.read(group.work, group.rows, need, spot.function, points, when)
            live |= shown.live
            self.displays.keep(key, group.rows, shown)
        out: list[Group | _Out] = []
        if live.any():
            sentence = f"{step.title}: the meter met volts where the circuit was taken to be dead."
            out.append(_Out(group.state, group.rows[live], unsafe=f"met live: {sentence}"))
        rows = group.rows[~live]
        if not rows.size:
            return out
        asked = Asked(group.state, step, spots, there)
        answers, near = self._judge.answers(asked, rows)
        for row, one in near:
            self._near.setdefault(row, []).append(one)
        if group.state.close:
            answers = self._settled_close(asked, answers)
        for _, here in answers:
            owner = int(here[0])
            said = tuple(
                Said.of(spot.reading, spot.label, self.displays.reading(key, owner))
                if asked.has(spot)
                else Said(spot.reading, spot.label, NOT_THERE, "")
                for spot, key in spots
            )
            entry = _entry(EntryKind.ANSWER, step, said=said)
            out += self._advanced(group, entry, here, group.work, owner=owner)
        return out

    def _settled_close(self, asked: Asked, answers: Answered) -> Answered:
        """Part rows that were too close to call twice by what the session then takes."""
        found: dict[tuple[Answer, str], list[Rows]] = {}
        for answer, rows in answers:
            if not answer.close:
                found.setdefault((answer, ""), []).append(rows)
                continue
            for row in rows:
                key = self._judge.twice_close(asked, int(row))
                found.setdefault((answer, key), []).append(np.array([row]))
        return [(key[0], np.sort(np.concatenate(parts))) for key, parts in found.items()]

    def _cannot(self, group: Group, step: Step) -> list[Group | _Out]:
        entry = _entry(EntryKind.CANNOT, step, outcome="not there", verdict="can't: not there")
        return self._advanced(group, entry, group.rows, group.work)

    # --- going on -------------------------------------------------------------------------------

    def _advanced(
        self, group: Group, entry: Entry, rows: Rows, work: Work, owner: int | None = None
    ) -> list[Group | _Out]:
        """Go on with rows of one answer; they part where something decides by their readings."""
        out: list[Group | _Out] = []
        left = rows
        while left.size:
            lead = int(left[0]) if owner is None or owner not in left else owner
            state = group.state
            if lead != group.owner:
                state = self._owned(state, lead)
            said = entry
            if entry.said and lead != owner:
                said = self._said_by(entry, group.state, lead)
            after = advance(self.walk, state, said)
            same = self._alike(state, after, left, lead)
            out.append(Group(after, left[same], work, lead, group.answers + 1))
            left = left[~same]
        return out

    def _gone_on(self, group: Group, entry: Entry, rows: Rows, work: Work) -> Group:
        owner = int(rows[0]) if group.owner not in rows else group.owner
        state = group.state if owner == group.owner else self._owned(group.state, owner)
        after = advance(self.walk, state, entry)
        return Group(after, rows, work, owner, group.answers + 1)

    def _said_by(self, entry: Entry, state: State, row: int) -> Entry:
        step = step_named(self.walk, entry.step)
        assert isinstance(step.head, ActHead)
        spots = keyed(spots_of(self.walk, state, step), step.head.leads_off)
        by_place = {(spot.reading, spot.label): key for spot, key in spots}
        said = tuple(
            one
            if one.value == NOT_THERE
            else Said.of(
                one.name, one.spot, self.displays.reading(by_place[one.name, one.spot], row)
            )
            for one in entry.said
        )
        return replace(entry, said=said)

    def _owned(self, state: State, row: int) -> State:
        """Return the state with the readings of one row in the place of another's."""
        taken: dict[ReadingKey, Took] = {
            key: replace(took, reading=self.displays.reading(key, row))
            for key, took in state.taken.items()
        }
        worked = dict(state.worked)
        state = state._replace(taken=taken)
        known = self._judge.knowing.of(state, row)
        for name in worked:
            value = known(name)
            if value is not None:
                worked[name] = value
        return state._replace(worked=worked)

    def _alike(self, before: State, after: State, rows: Rows, lead: int) -> Flags:
        """Return which rows come the same way through what was decided without asking."""
        same = np.ones(rows.size, dtype=bool)
        for passed in after.passed[len(before.passed) :]:
            if not passed.silent or passed.step not in self.walk.steps:
                continue
            step = self.walk.steps[passed.step]
            if not isinstance(step.head, SortHead | ActHead) or not passed.key:
                continue
            if isinstance(step.head, ActHead) and not passed.readings:
                continue
            if not self._judge.differs_silently(after, step):
                continue
            others = np.flatnonzero(same & (rows != lead))
            if others.size:
                keys = self._judge.silently(after, step, rows[others])
                same[others] = [key == passed.key for key in keys]
        return same

    # --- the end --------------------------------------------------------------------------------

    def _finish(self, out: _Out, found: list[Walked | None]) -> None:
        state = out.state
        path = tuple(Passing(one.step, one.key, one.verdict, one.silent) for one in state.passed)
        findings = self.walk.tree.findings
        made = [one.finding for one in state.found]
        causes = tuple(one for one in made if not findings[one].kind)
        noted = tuple(one for one in made if findings[one].kind)
        n_last = self._place_of_last(state)
        asked = [
            one
            for at, one in enumerate(state.passed)
            if not one.silent and (n_last is None or at <= n_last)
        ]
        minutes = sum(step_named(self.walk, one.step).minutes for one in asked)
        for row in out.rows:
            number = int(row)
            one = self.rows[number]
            found[number] = Walked(
                faults=tuple(fault.name for fault in one.faults),
                variation=one.variation,
                path=path,
                findings=causes,
                noted=noted,
                mended=tuple(one.finding for one in state.found if one.work == DONE),
                end=state.end,
                stuck=out.stuck,
                unsafe=out.unsafe,
                checks=len(asked),
                minutes=minutes,
                closest=tuple(self._near.get(number, ())),
            )

    def _place_of_last(self, state: State) -> int | None:
        """Return where in the path the last finding was made; None for no finding."""
        causes = [one for one in state.found if not self.walk.tree.findings[one.finding].kind]
        if not causes:
            return None
        step = causes[-1].step
        # Where a procedure finds the cause the walk has passed what is inside it.
        passed = [f"{one.step}/".startswith(f"{step}/") for one in state.passed]
        return max((at for at, is_it in enumerate(passed) if is_it), default=None)


def done(work: Work, head: ActHead) -> Work:
    """Return the work after an act that switches or calls."""
    match head.act:
        case Act.SWITCH_OFF | Act.LOCK_OUT | Act.TAG_OUT:
            return work.switched(head.device, on=False)
        case Act.SWITCH_ON:
            return work.switched(head.device, on=True)
        case Act.RUN:
            return work._replace(called=True)
        case _:
            return work


def _entry(
    kind: EntryKind,
    step: Step,
    outcome: str = "",
    said: tuple[Said, ...] = (),
    verdict: str = "",
) -> Entry:
    time = NOON.isoformat()
    return Entry(0, time, _BY, kind, step.name, said=said, outcome=outcome, verdict=verdict)
