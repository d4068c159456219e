"""What a trial says of a tree: each fault of the unit, and the totals of all of them.

Owns `Trial` and its parts, plain values. Terms are those of IEEE 1522 for testability, from memory:
detection, isolation and correctness are shares of the faults, weighted by how often each comes.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from engine.trial.walked import Closeness

MOST_WRONG = 0.01
"""Share of the varied rows that may come to a wrong finding."""


class Result(StrEnum):
    """What came of a fault, on the nominal unit read with a perfect meter."""

    ISOLATED = "isolated"
    """The right finding and no other."""
    GROUP = "group"
    """The right finding among others: something was mended that was whole."""
    WRONG = "wrong"
    UNSAFE = "unsafe"
    """A rule of safe work was broken, on the nominal unit or a varied one."""
    NEVER_DETECTED = "never detected"
    """The walk came to no finding."""


class By(StrEnum):
    """What tells a fault from every other cause of the trial."""

    SOLVED = "solved"
    """What the circuit does, by a meter or before one's eyes."""
    STATED = "stated"
    """From at least one of them only what the unit's file says can be seen, heard or smelled."""


class Alone(NamedTuple):
    """Two faults that a tree parts by a sign alone, though a reading taken dead would."""

    fault: str
    """What is found by its sign."""
    other: str
    step: str
    """Whose reading tells the two apart."""


@dataclass(frozen=True, slots=True)
class OfFault:
    """One fault, over all variations."""

    fault: str
    suspect: str
    weight: float
    """How often it is the cause: its suspect's weight, shared among the faults of that suspect."""
    result: Result
    finding: str = ""
    """The last finding of the nominal row."""
    group: tuple[str, ...] = ()
    """All findings of the nominal row, in their order."""
    by: By | None = None
    """None where there is no finding."""
    checks: int = 0
    minutes: float = 0.0
    best_minutes: float | None = None
    """Minutes to it in the order that is best for all faults together; None where nobody reckoned,
    and where it shows only after something is switched on, which no order of checks plans."""
    blame: str = ""
    """The step at which the walk went wrong; empty where it did not."""
    why: str = ""
    """What is wrong with it, in words; empty where nothing is."""
    rows: int = 0
    """Varied rows, the nominal one not among them."""
    wrong: int = 0
    """Of these, how many did not come to the right finding."""
    closest: tuple[Closeness, ...] = ()
    """Cuts that readings came near, the nearest first, each once."""
    seen: tuple[str, ...] = ()
    """The faults that it is told from by signs only."""


@dataclass(frozen=True, slots=True)
class Totals:
    """Shares of the faults by weight (0 to 1), means by weight."""

    faults: int
    detected: float
    isolated: float
    """Of the detected, isolated to one finding."""
    correct: float
    """Of the detected, with the right finding among those made."""
    mean_group: float
    """Findings made a fault."""
    false_removals: float
    """Things mended that were whole, a repair."""
    minutes: float
    best_minutes: float | None
    rows: int
    wrong: float
    """Share of the varied rows that did not come to the right finding."""
    unsafe: int
    """Rows in which a rule of safe work was broken."""
    pairs: int = 0
    """Rows with two faults."""
    pairs_found: float = 1.0
    """Of these, the share in which one of the two was found."""

    @property
    def efficiency(self) -> float | None:
        """Minutes of the best order over those of the tree's; None where nobody reckoned."""
        return self.best_minutes / self.minutes if self.best_minutes and self.minutes else None


@dataclass(frozen=True, slots=True)
class Trial:
    """One tree tried on one unit."""

    tree: str
    unit: str
    samples: int
    seed: int
    faults: tuple[OfFault, ...]
    totals: Totals
    elsewhere: tuple[str, ...] = ()
    """Faults of the unit that do not show the complaint."""
    neither: tuple[tuple[str, ...], ...] = ()
    """Pairs of faults of which neither was found."""
    alone: tuple[Alone, ...] = ()

    @property
    def missed(self) -> tuple[str, ...]:
        """Return every goal that is missed, each in a sentence."""
        totals = self.totals
        never = [one.fault for one in self.faults if one.result is Result.NEVER_DETECTED]
        wrong = [one.fault for one in self.faults if one.result is Result.WRONG]
        unsafe = [one.fault for one in self.faults if one.result is Result.UNSAFE]
        said = []
        if unsafe or totals.unsafe:
            said.append(f"A rule of safe work was broken: {', '.join(unsafe) or 'a pair'}.")
        if never:
            said.append(f"Never detected: {', '.join(never)}.")
        if wrong:
            said.append(f"Found as something else: {', '.join(wrong)}.")
        if totals.wrong > MOST_WRONG:
            share, most = 100 * totals.wrong, 100 * MOST_WRONG
            said.append(f"Wrong under tolerance in {share:.2g} %; at most {most:g} %.")
        said += [
            f"{one.fault} is told from {one.other} by a sign alone, and {one.step} would tell."
            for one in self.alone
        ]
        return tuple(said)
