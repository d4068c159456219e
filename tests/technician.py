"""A technician made of dice: types plausible lines at the guide, and the odd clumsy one.

Works on the guide without a disk: what a line comes to is folded in at once. Everything that was
done is kept as events, so that a judge who knows only the log can look at it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from functools import cache
from random import Random

from engine.entries import Entry, EntryKind
from engine.guide.prompt import Now, Prompt, prompt
from engine.guide.talk import QUIET, Mode, Reply, Talk, View
from engine.guide.typed import typed
from engine.loader.library import load
from engine.power import Act, Deed, pessimistic
from engine.reading import Function
from engine.session.folding import AWAY_AFTER, History, history, was_away
from engine.session.judging import Spot
from engine.session.state import State
from engine.session.steps import deed_of, refusals, step_named
from engine.tree import DONE, NOT_NOW, ActHead, WalkTree
from tests.event_log import Event

MORNING = datetime(2026, 3, 2, 8, tzinfo=UTC)

LOW = ("0", "0.4 V", "1.2", "18.5 V", "20.4", "24", "24.6 V", "26.1", "29.9", "30 V", "31")
LINE = ("0", "2.9 V", "118", "120 V", "130.9", "131.1", "187.2 V", "208", "209 V", "231", "253 V")
ODD = ("48 V", "60", "118 V", "OL", "unsteady", "can't read")
READ: Mapping[Function, tuple[str, ...]] = {
    Function.LOW_IMPEDANCE_VOLTS: ("0 V", "0.3", "2.9", "3.1", "24", "118", "208"),
    Function.DC_VOLTS: ("0", "0.2 V", "1.1", "2.3 V", "2.4", "3.1", "4.9", "5", "9.3", "160"),
    Function.OHMS: (
        "0.2 ohm", "0.6 ohm", "3.9 ohm", "4 ohm", "4.9 ohm", "5 ohm", "5.1 ohm", "12 ohm",
        "48 ohm", "2 kohm", "2.1 kohm", "1.4 Mohm", "OL", "OL", "OL", "unsteady",
    ),
}  # fmt: skip
"""What a meter may show, by function; also what stands near the cuts of the shipped trees."""
ANYTHING = ("0", "1", "12", "45.2", "OL")

GOOD: Mapping[str, str] = {
    "before": "120 V", "after": "119.8 V", "capacitor": "0.4 V", "lines": "0 V", "volts": "24.1 V",
}  # fmt: skip
"""What proves a circuit dead, by the names of readings in the shipped procedures."""


@cache
def shipped(name: str = "blank-thermostat") -> WalkTree:
    """Return a shipped tree, loaded once."""
    loaded = load(name)
    assert loaded.walk is not None, "\n".join(map(str, loaded.problems))
    return loaded.walk


@dataclass(frozen=True)
class Habits:
    """How often something other than the plain answer is typed."""

    undo: float = 0.0
    correct: float = 0.0
    cannot: float = 0.02
    known: float = 0.0
    stop: float = 0.0
    leave: float = 0.0
    late: float = 0.0
    garbage: float = 0.0
    other_hand: float = 0.0
    repair: float = 0.8
    good: float = 0.85
    """How often a reading that proves something does prove it, and the first choice is it."""


STEADY = Habits()
CLUMSY = Habits(
    undo=0.05, correct=0.03, cannot=0.05, known=0.02, stop=0.004, leave=0.01, late=0.01,
    garbage=0.05, other_hand=0.005,
)  # fmt: skip

GARBAGE = (
    "", " ", "?", "done", "yes", "-", "1", "7", "99", "0", "1 2 3", "24 24 24 24", "12,5 V",
    "1,250", "2.2", "OL", "-3 V", "5 apples", "\x1b[A", "m", "w", "s", "z", "a", "t", "g", "b",
    "k", "c", "x", "n the door is dented", "f unclear", "can't", "l'", "½", "²", "٣", "open",
    "not there", "208/240",
)  # fmt: skip


@dataclass
class Technician:
    """One walk by dice."""

    walk: WalkTree
    random: Random
    habits: Habits = STEADY
    done: History = field(init=False)
    entries: list[Entry] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    talk: Talk = QUIET
    clock: datetime = MORNING
    by: str = "Ana"

    def __post_init__(self) -> None:
        self.done = history(self.walk, ())

    # What a door does

    @property
    def view(self) -> View:
        """The walk as the guide sees it."""
        return View(self.walk, self.done.state, tuple(self.entries), self.by)

    @property
    def shown(self) -> Prompt:
        """What is wanted now."""
        return prompt(self.walk, self.done.state, self.clock)

    @property
    def ended(self) -> bool:
        """True when nothing is wanted any more."""
        return self.shown.now is Now.ENDED

    def enter(self, text: str) -> Reply:
        """Type one line; what it comes to is folded in at once."""
        self.clock += timedelta(seconds=7)
        reply = typed(self.view, self.talk, text, self.clock)
        self.talk = reply.talk
        for entry in reply.entries:
            self.take(entry)
        return reply

    def take(self, entry: Entry) -> None:
        """Fold an entry in, and keep what it did as an event."""
        if self.entries and was_away(self.entries[-1], entry, AWAY_AFTER):
            self.events.append((Deed(Act.AWAY), DONE))
        before = self.done.state
        self.done.take(entry)
        self.entries.append(entry)
        if entry.kind in (EntryKind.RESUME, EntryKind.LEAVE):
            self.events.append((Deed(Act.AWAY), DONE))
        elif entry.kind is EntryKind.STOP:
            self.events.append((Deed(Act.ASK), entry.outcome))
        elif entry.kind in (EntryKind.ANSWER, EntryKind.REPAIR) and not entry.of:
            self._note(before, entry)
        if self.done.state.end and not before.end:
            self.events.append((Deed(Act.END, mode=self.done.state.end), DONE))

    def _note(self, before: State, entry: Entry) -> None:
        """Keep what an answer did; fail where the safety model refused it at that moment."""
        after = self.done.state
        passed = next((one for one in reversed(after.passed) if one.n == entry.n), None)
        if entry.n in after.astray or passed is None:
            return
        step = step_named(self.walk, entry.step)
        against = refusals(self.walk, before.power, step)
        assert not against, f"{step.name} was done against {against[0]}"
        deed, head = deed_of(step), step.head
        assert isinstance(head, ActHead)
        if passed.key == NOT_NOW:
            return
        answers = [
            one
            for judgement in head.judgements
            for key, one in judgement.answers.items()
            if key == passed.key and (one.verdict or key) == passed.verdict
        ]
        if head.judgements and not answers and head.act in (Act.CHECK, Act.INSULATION_TEST):
            deed = replace(deed, act=Act.READ_DEAD)
        said = answers[0].counts_as if answers else head.counts_as
        on = answers[0].on if answers else ""
        effect = said or pessimistic(deed.act)
        self.events.append((replace(deed, on=on or deed.on), effect))

    # What the dice type

    def walk_on(self, most: int = 400) -> None:
        """Type lines until the walk has ended, at most so many."""
        for _ in range(most):
            if self.ended:
                return
            self.act()

    def act(self) -> None:
        """Do one thing: the plain answer, or by the dice something else."""
        if self.talk.mode is not Mode.STEP:
            self.enter(self._aside())
            return
        dice, habits = self.random.random(), self.habits
        for chance, line in (
            (habits.undo, self._undo),
            (habits.correct, lambda: f"t {self.random.randint(1, 12)}"),
            (habits.cannot, lambda: f"c {self.random.randint(1, 5)}"),
            (habits.known, lambda: f"k {self.random.randint(1, 20)}"),
            (habits.stop, lambda: f"x {self.random.randint(1, 10)}"),
            (habits.garbage, lambda: self.random.choice(GARBAGE)),
        ):
            if dice < chance:
                self.enter(line())
                return
            dice -= chance
        self._come_and_go(dice)
        self.enter(self.plain())

    def _undo(self) -> str:
        return self.random.choice("uuur")

    def _come_and_go(self, dice: float) -> None:
        habits = self.habits
        if dice < habits.leave:
            self.enter("l")
            self.come_back()
        elif dice < habits.leave + habits.late:
            self.clock += AWAY_AFTER + timedelta(minutes=1)
            self.come_back()
        elif dice < habits.leave + habits.late + habits.other_hand:
            self.by = "Ben" if self.by == "Ana" else "Ana"
            self.come_back()

    def come_back(self) -> None:
        """Write down that the work is gone on with."""
        self.take(self.view.draft(EntryKind.RESUME, self.clock))

    def _aside(self) -> str:
        """Return an answer to the entry line's own question; most of the time one that fits."""
        if self.random.random() < self.habits.garbage:
            return self.random.choice(GARBAGE)
        if self.talk.mode in (Mode.CORRECT, Mode.KNOWN_READING):
            return self._value() if self.random.random() < 0.8 else ""
        return self.random.choice("1111122345")

    def plain(self) -> str:
        """Return what a technician would most likely type now."""
        shown = self.shown
        if shown.now is Now.NAMEPLATE:
            return self._nameplate(shown)
        if shown.now is Now.REFUSED:
            return f"c {self.random.randint(1, 5)}"
        if shown.now is Now.WAIT:
            return "over"
        if shown.asked:
            return self._readings(shown)
        if not shown.choices:
            return ""
        if shown.step.startswith("repair "):
            return "1" if self.random.random() < self.habits.repair else "2"
        if self.random.random() < self._goes_well(shown):
            return "1"
        return str(self.random.choice(shown.choices).number)

    def _goes_well(self, shown: Prompt) -> float:
        """Return how often the first answer is the one: acts go well, what is seen differs."""
        head = step_named(self.walk, shown.step).head
        assert isinstance(head, ActHead)
        if head.act is Act.LOOK_OVER:
            return 0.97
        return 0.3 if head.act in (Act.ASK, Act.LOOK) else self.habits.good

    def _readings(self, shown: Prompt) -> str:
        good = self.random.random() < self.habits.good
        legs = self.random.choice(LINE)
        several = [self._reading(spot, good, legs) for spot, _ in shown.asked]
        few = self.random.randint(1, len(several)) if self.random.random() < 0.2 else len(several)
        return " ".join(several[:few])

    def _reading(self, spot: Spot, good: bool, legs: str) -> str:
        if good and spot.reading in GOOD:
            return GOOD[spot.reading]
        if good and spot.when == "dead" and spot.function is not Function.OHMS:
            return "0.2 V"
        if self.random.random() < 0.03:
            return self.random.choice(ODD)
        if spot.function is Function.VOLTS:
            point = self.walk.vocabulary.points[spot.a]
            return self.random.choice(LOW) if point.zone == "control" else legs
        return self.random.choice(READ.get(spot.function, ANYTHING))

    def _value(self) -> str:
        return self.random.choice((*LOW, *LINE, *READ[Function.OHMS], "1", "2"))

    def _nameplate(self, shown: Prompt) -> str:
        field_ = shown.field
        assert field_ is not None
        if self.random.random() < self.habits.cannot:
            return "c"
        if field_.name == "phases":
            return self.random.choice("13")
        if field_.many:
            return self.random.choice(("0", "1 3 4 5", "2 3 4 5 6 7 8", "1,3,8,9", "3 5"))
        if field_.words:
            return str(self.random.randint(1, len(field_.words)))
        if field_.volts_marking:
            return self.random.choice(("208-230", "208", "460", "208/240", "230 V"))
        if field_.default and self.random.random() < 0.5:
            return ""
        return self.random.choice(("24", "3", "40", "208", "230", "5 A", "75 VA"))
