"""A tree as boxes and ways between them: what the drawing shows, before it has a place on paper.

One box for every step of the tree, its lists written out; one for every procedure that a step
uses, however long it is; one for every finding and every stage. A way has the words of the answers
that it is taken by.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property

from engine import power, safe_words
from engine.drawing.alone import at_the_unit
from engine.drawing.numbering import Numbered
from engine.drawing.ways import (
    FINDING,
    STAGE,
    TREE,
    Way,
    after,
    changes,
    found_inside,
    joined,
    ways_of,
)
from engine.drawing.words import Words
from engine.power.state import Cover, State
from engine.safe_words import MOST, Caution, Signal
from engine.session.steps import deed_of, layout_of
from engine.tree import (
    GO_ON,
    RETURN,
    THE,
    ActHead,
    Finding,
    HandOverHead,
    SortHead,
    Stage,
    Step,
    UseHead,
    WalkTree,
)


class Shape(StrEnum):
    """What kind of box it is; each has an outline of its own."""

    STEP = "step"
    SORT = "sort"
    """Nobody is asked: it goes by what is known."""
    LIST = "list"
    """What follows is done row by row."""
    PROCEDURE = "procedure"
    END = "end"
    """A step or a procedure that ends the walk."""
    FINDING = "finding"
    STAGE = "stage"
    GO_ON = "go on"
    TREE = "tree"
    """Another tree that is handed over to."""
    RETURN = "return"
    """Back to what uses a procedure, with a word."""


@dataclass(frozen=True, slots=True)
class Box:
    """One box of the drawing."""

    id: str
    number: str
    """``12``, ``F3``; empty for what nobody is sent to by number."""
    shape: Shape
    label: str
    """What kind of thing it is, in words: ``READ LIVE volts``."""
    title: str
    stage: str = ""
    who: str = ""
    signals: tuple[Signal, ...] = ()
    """The signal words of what is warned of here, the gravest first."""
    cautions: tuple[Caution, ...] = ()
    """What the author warns of beyond what the act itself shows."""
    ways: tuple[Way, ...] = ()


@dataclass(frozen=True)
class Chart:
    """A whole tree as boxes."""

    tree: str
    title: str
    revision: int
    status: str
    said_as: tuple[str, ...]
    if_stuck: str
    start: str
    boxes: tuple[Box, ...]

    @cached_property
    def numbers(self) -> Mapping[str, str]:
        """Return the number of every box that has one, by its id."""
        return {box.id: box.number for box in self.boxes if box.number}

    def as_json(self) -> dict[str, object]:
        """Return the chart as plain data: tree, nodes, edges."""
        return {
            "tree": self.tree,
            "title": self.title,
            "revision": self.revision,
            "status": self.status,
            "start": self.start,
            "if_stuck": self.if_stuck,
            "nodes": [_node(box) for box in self.boxes],
            "edges": [
                {"from": box.id, "to": way.to, "label": " · ".join(way.words), "kind": way.kind}
                for box in self.boxes
                for way in box.ways
                if way.to
            ],
        }


def _node(box: Box) -> dict[str, object]:
    return {
        "id": box.id,
        "number": box.number,
        "kind": box.shape,
        "label": box.label,
        "title": box.title,
        "stage": box.stage,
        "who": box.who,
        "signals": list(box.signals),
        "cautions": [str(one) for one in box.cautions],
    }


def chart_of(walk: WalkTree, titles: Mapping[str, str] | None = None) -> Chart:
    """Return a tree as boxes; ``titles`` are those of the procedures, by their names."""
    return _Charting(walk, titles or {}).chart()


class _Charting:
    """The boxes of one tree as they are made."""

    def __init__(self, walk: WalkTree, titles: Mapping[str, str]) -> None:
        self._walk = walk
        self._titles = titles
        self._paper = Numbered(walk)
        self._numbers = self._paper.numbers
        self._words = Words(walk, {**self._paper.users, **self._numbers})
        self._inside: dict[str, list[Step]] = {}
        for name in walk.inside:
            self._inside.setdefault(self._paper.outermost(name), []).append(walk.steps[name])

    def chart(self) -> Chart:
        """Return the whole tree."""
        tree = self._walk.tree
        boxes = [self._of_step(step) for step in self._paper.steps.values()]
        boxes += [self._of_finding(finding) for finding in tree.findings.values()]
        boxes += [self._of_stage(stage) for stage in tree.stages.values()]
        boxes += self._elsewhere(boxes)
        status = tree.status.word
        if tree.status.on:
            status = f"{status} {tree.status.on}"
        return Chart(
            tree.name,
            tree.title,
            tree.revision,
            status,
            tree.complaint.said_as,
            tree.if_stuck,
            tree.start,
            tuple(boxes),
        )

    # --- one box ------------------------------------------------------------------------------

    def _of_step(self, step: Step) -> Box:
        shape, label = self._kind(step)
        inside = self._inside.get(step.name, ())
        ways = [
            *ways_of(step, self._words, self._walk.tree.if_stuck),
            *found_inside(inside, self._walk.inside, self._words),
        ]
        return Box(
            step.name,
            self._numbers[step.name],
            shape,
            label,
            self._words.text(step.title, step),
            step.stage,
            step.who,
            self._cautions([step, *inside]),
            tuple(
                Caution(Signal(signal), self._words.text(text)) for signal, text in step.cautions
            ),
            self._led(ways),
        )

    def _led(self, ways: Iterable[Way]) -> tuple[Way, ...]:
        """Return ways with the boxes of the drawing at their ends, joined."""
        return joined(replace(way, to=self._paper.leads_to(way.to)) for way in ways)

    def _kind(self, step: Step) -> tuple[Shape, str]:
        match step.head:
            case ActHead(end=end) if end:
                return Shape.END, f"END {end}"
            case ActHead() as head:
                functions = dict.fromkeys(str(spec.function) for spec in head.readings)
                return Shape.STEP, " ".join((str(head.act).upper(), ", ".join(functions))).strip()
            case SortHead():
                return Shape.SORT, f"SORT BY {self._sorted_by(step, step.head)}"
            case UseHead() as head:
                title = self._titles.get(head.procedure, head.procedure)
                ends = self._ends(step)
                if head.returns or not ends:
                    return Shape.PROCEDURE, f"PROCEDURE {title}"
                return Shape.END, f"END {' or '.join(ends)}"
            case HandOverHead():
                return Shape.STEP, "HAND OVER"
            case _:
                return Shape.LIST, "LIST"

    def _sorted_by(self, step: Step, head: SortHead) -> str:
        if head.by_step:
            return f"step {self._numbers.get(head.by_step, head.by_step)}"
        if head.by_formula:
            return self._words.formula(step, head.by_formula)
        return self._words.name(head.by_name) if head.by_name else "nothing"

    def _ends(self, step: Step) -> tuple[str, ...]:
        heads = (inner.head for inner in self._inside.get(step.name, ()))
        return tuple(
            dict.fromkeys(head.end for head in heads if isinstance(head, ActHead) and head.end)
        )

    def _cautions(self, steps: Iterable[Step]) -> tuple[Signal, ...]:
        """Return the signal words of several steps: two at most, the gravest first."""
        found = {
            signal
            for step in steps
            for signal in (
                *(one.signal for one in act_cautions(self._walk, step)),
                *(Signal(word) for word, _ in step.cautions),
            )
        }
        return tuple(signal for signal in Signal if signal in found)[:MOST]

    def _of_finding(self, finding: Finding) -> Box:
        name = FINDING + finding.name
        act = "" if finding.kind else f" {finding.act}".upper()
        return Box(
            name,
            self._numbers[name],
            Shape.FINDING,
            f"FINDING{act}" if not finding.kind else f"FINDING, {finding.kind}",
            self._words.text(finding.title),
            finding.stage,
            finding.who,
            ways=self._led(after(finding)),
        )

    def _of_stage(self, stage: Stage) -> Box:
        zone = f"zone {stage.zone}" if stage.zone else ""
        place = ", ".join(part for part in (stage.box, zone) if part)
        before = f" from {stage.from_}" if stage.from_ else ""
        return Box(
            STAGE + stage.name,
            "",
            Shape.STAGE,
            f"STAGE {place}{before}".strip(),
            stage.name,
            ways=self._led(changes(stage, self._titles)),
        )

    def _elsewhere(self, boxes: Iterable[Box]) -> Iterator[Box]:
        """Yield the boxes that ways lead to and that are neither step nor finding."""
        led_to = dict.fromkeys(way.to for box in boxes for way in box.ways)
        for name in led_to:
            if name == GO_ON:
                on = Way(("where no such place was named",), self._walk.tree.if_stuck)
                title = "Go on where the latest finding says: if still wrong"
                yield Box(GO_ON, "", Shape.GO_ON, "GO ON", title, ways=(on,))
            elif name.startswith(FINDING + THE):
                place = f"[{name.removeprefix(FINDING + THE)}]"
                yield Box(name, "", Shape.FINDING, "FINDING of what uses this", place)
            elif name.startswith(RETURN):
                yield Box(name, "", Shape.RETURN, "BACK, WITH THE WORD", name.removeprefix(RETURN))
            elif name.startswith(TREE):
                yield Box(name, "", Shape.TREE, "ANOTHER TREE", name.removeprefix(TREE))


def act_cautions(walk: WalkTree, step: Step) -> tuple[Caution, ...]:
    """Return what the act of a step warns of, where nothing at all is known of the circuit.

    Paper does not know what was locked, proven or shut: every zone counts as live and every box
    as open.
    """
    if not isinstance(step.head, ActHead):
        return ()
    deed = deed_of(step)
    placed = (layout_of(walk), deed) if walk.tree.layout else at_the_unit(deed)
    if placed is None:
        return ()
    layout, deed = placed
    return safe_words.cautions(layout, _nothing_known(power.begin(layout)), deed)


def _nothing_known(arrival: State) -> State:
    return arrival._replace(cover=tuple(Cover.OPEN for _ in arrival.cover))
