"""From a tree as walked to its sheet: every step an entry, every procedure a section.

Procedures that are the same step by step stand in the appendix once, however often they are used;
the same procedure with another box or zone in it is another section.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

from engine.drawing.numbering import Numbered, in_rows
from engine.drawing.sheet import Blank, Entry, Section, Sheet, Target
from engine.drawing.sheet_entry import Entries
from engine.safe_words import DEFERENCE, LIMITS
from engine.session.nameplate import names_asked
from engine.tree import ENTER, LEAVE, Stage, Step, UseHead, WalkTree
from engine.vocabulary import Field


def sheet_of(walk: WalkTree, titles: Mapping[str, str] | None = None) -> Sheet:
    """Return a tree for a binder; ``titles`` are those of the procedures, by their names."""
    return _Making(walk, titles or {}).sheet()


class _Making:
    """One sheet while it is made."""

    def __init__(self, walk: WalkTree, titles: Mapping[str, str]) -> None:
        self._walk = walk
        self._titles = titles
        self._paper = Numbered(walk)
        self._numbers = dict(self._paper.numbers)
        self._appendix: dict[str, Section] = {}
        self._uses: dict[str, Target] = {}
        self._stages = {name: f"S{n}" for n, name in enumerate(walk.tree.stages, 1)}
        self._entries = Entries(walk, self._numbers, self._stages, self._uses)

    def sheet(self) -> Sheet:
        """Return the whole sheet."""
        tree = self._walk.tree
        for name in self._used_first_hand():
            self._uses[name] = self._procedure(name)
        status = f"{tree.status.word} {tree.status.on}".strip()
        return Sheet(
            tree.name,
            tree.title,
            tree.revision,
            status,
            tree.complaint.said_as,
            tuple(self._how()),
            tuple(_blank(field) for field in self._fields),
            tuple(self._sections()),
            tuple(self._appendix.values()),
            (DEFERENCE, LIMITS),
        )

    def _how(self) -> Iterator[str]:
        start = self._entries.target(self._walk.tree.start).words
        stuck = self._entries.target(self._walk.tree.if_stuck).words
        yield (
            f"Begin at {start} and go where each answer leads. Read the answers from the top: the "
            "first that fits counts."
        )
        if self._stages:
            yield (
                "A step says in which stage it is done. Before it, leave the stage you are in and "
                "enter that one, as written under Stages. A step that says none is done outside: "
                "boxes shut, no lock of yours. Any stage: outside, or, where a change of stage "
                "failed, as you stand."
            )
        yield f"What can't be done leads to {stuck}, unless the step says where else."
        yield (
            "Write down what the meter shows, with its unit. Where its accuracy reaches over a "
            "limit, read again. Once something was switched on, repaired or moved, what was read "
            "there before no longer counts."
        )
        yield (
            "Paper does not know what is locked, open or proven: the cautions are those of the "
            "worst case. Treat as live what was not shown to be dead, by you, since your lock went "
            "on."
        )

    @cached_property
    def _fields(self) -> tuple[Field, ...]:
        """Return every nameplate question that some step needs, in the vocabulary's order."""
        fields = self._walk.fields
        waiting = [name for step in self._walk.steps.values() for name in names_asked(step)]
        needed: set[str] = set()
        while waiting:
            name = waiting.pop()
            if name in fields and name not in needed:
                needed.add(name)
                waiting += [test.name for test in fields[name].condition]
        return tuple(field for name, field in fields.items() if name in needed)

    def _sections(self) -> Iterator[Section]:
        alone = not self._walk.tree.layout
        steps = tuple(
            self._entries.of_step(step, inside=alone) for step in self._paper.steps.values()
        )
        yield Section("Steps", "steps", steps)
        findings = self._walk.tree.findings.values()
        if findings:
            yield Section("Findings", "findings", tuple(map(self._entries.of_finding, findings)))
        stages = self._walk.tree.stages.values()
        if stages:
            yield Section("Stages", "stages", tuple(map(self._of_stage, stages)))

    # --- procedures -----------------------------------------------------------------------------

    def _used_first_hand(self) -> Iterator[str]:
        """Yield the steps of the tree itself, and of its stages, that use a procedure."""
        for name, step in self._walk.steps.items():
            if isinstance(step.head, UseHead) and name not in self._walk.inside:
                yield name

    @cached_property
    def _children(self) -> Mapping[str, Mapping[str, Step]]:
        """Return the steps of every procedure as used, by the step that uses it."""
        found: dict[str, dict[str, Step]] = {}
        for name, user in self._walk.inside.items():
            found.setdefault(user, {})[name] = self._walk.steps[name]
        return {user: in_rows(steps) for user, steps in found.items()}

    def _procedure(self, user: str) -> Target:
        """Return the section of the procedure that a step uses; one like it may be there."""
        head = self._walk.steps[user].head
        assert isinstance(head, UseHead)
        steps = self._children.get(user, {})
        for name, step in steps.items():
            if isinstance(step.head, UseHead):
                self._uses[name] = self._procedure(name)
        given = ", ".join(one for one in head.with_.values() if isinstance(one, str))
        title = self._titles.get(head.procedure, head.procedure) + (f" ({given})" if given else "")
        for number, section in self._appendix.items():
            if section.heading == f"{number} {title}" and section == self._section(
                number, title, user
            ):
                return Target(f"{number} {title}", number)
        number = f"P{len(self._appendix) + 1}"
        self._appendix[number] = self._section(number, title, user)
        return Target(f"{number} {title}", number)

    def _section(self, number: str, title: str, user: str) -> Section:
        """Return a procedure's section under a number; its steps have that number from then on."""
        steps = self._children.get(user, {})
        self._numbers |= {name: f"{number}.{n}" for n, name in enumerate(steps, 1)}
        begins = self._entries.target(self._walk.begins.get(user, ""))
        entries = tuple(self._entries.of_step(step, inside=True) for step in steps.values())
        intro = (f"Begins at {begins.words}.",) if steps and begins.words != f"{number}.1" else ()
        return Section(f"{number} {title}", number, entries, intro)

    # --- stages -----------------------------------------------------------------------------------

    def _of_stage(self, stage: Stage) -> Entry:
        number = self._stages[stage.name]
        ways = tuple(
            self._entries.of_use(said, self._walk.steps[word + stage.name])
            for said, word in (("To enter", ENTER), ("To leave", LEAVE))
            if word + stage.name in self._walk.steps
        )
        place = (("Zone", stage.zone), ("Box", stage.box))
        between = (
            ("Entered from", self._stage_words(stage.from_)),
            ("Leaving leads to", self._stage_words(stage.back_to)),
        )
        facts = tuple((name, words) for name, words in (*place, *between) if words)
        return Entry(number, number, stage.name, "STAGE", facts=facts, questions=ways)

    def _stage_words(self, name: str) -> str:
        return f"{self._stages[name]} {name}" if name in self._stages else name


def _blank(field: Field) -> Blank:
    asked = field.ask
    if field.words:
        joined = "any of" if field.many else "one of"
        asked = f"{asked}: {joined} {', '.join(field.words)}"
    if field.default:
        asked = f"{asked}; {field.default} where it can't be read"
    return Blank(field.name.replace("_", " "), field.unit, asked)
