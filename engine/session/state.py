"""Where a walk stands: everything that its entries have come to, and nothing else.

A `State` is a value. It is made by folding entries over a tree (`session`); no part of it is
kept on disk, and none of it can be changed but by another entry.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, NamedTuple

from engine import power
from engine.formula import Value
from engine.reading import Function, Reading
from engine.session.judging import Spot


@dataclass(frozen=True, slots=True)
class ReadingKey:
    """What makes two readings the same reading."""

    function: Function
    a: str
    b: str
    when: str
    leads_off: tuple[str, ...]

    @classmethod
    def of(cls, spot: Spot, leads_off: tuple[str, ...]) -> ReadingKey:
        """Return the key of a spot read with those leads off."""
        return cls(spot.function, spot.a, spot.b, spot.when, leads_off)


@dataclass(frozen=True, slots=True)
class Took:
    """A reading taken on this walk."""

    reading: Reading
    n: int
    """The entry it stands in."""
    answered: frozenset[str] = frozenset()
    """The steps that it has answered: each asks for it anew when the walk comes by again."""
    stale: bool = False
    """Something was energised, repaired or moved there since: shown, no longer counted."""


@dataclass(frozen=True, slots=True)
class Passed:
    """One step that the walk has been through."""

    n: int
    """The entry that answered it; 0 where it answered itself."""
    step: str
    key: str
    verdict: str
    means: str = ""
    readings: tuple[tuple[str, str, Reading | None], ...] = ()
    """(reading name, spot, reading) for each reading that was judged."""
    silent: bool = False
    """Decided by what was known; nothing was asked."""


@dataclass(frozen=True, slots=True)
class Found:
    """A finding of this walk."""

    finding: str
    step: str
    n: int
    verdict: str = ""
    work: str = ""
    """``done``, ``not now``, or empty while the repair is not yet answered (or there is none)."""


@dataclass(frozen=True, slots=True)
class Bearing:
    """What an answer said of a suspect."""

    suspect: str
    step: str
    verdict: str
    cleared: bool
    n: int


_NOTHING: Mapping[Any, Any] = MappingProxyType({})


class State(NamedTuple):
    """A walk at one moment; a tuple, since every answer makes a dozen of them."""

    power: power.State
    step: str = ""
    """The step asked now; empty once the walk has ended."""
    needs: str = ""
    """The nameplate field asked before that step."""
    stage: str = ""
    """The stage the work is in; empty outside."""
    stale: bool = False
    """The stage has to be entered anew: the work was left, or an entry taken back."""
    failed: bool = False
    """A change of stage did not succeed: stay until an ``any`` step has dealt with it."""
    changing: str = ""
    """``enter STAGE`` or ``leave STAGE`` while that is under way."""
    heading: str = ""
    """The step that a change of stage is on the way to."""
    words: Mapping[str, str | tuple[str, ...]] = _NOTHING
    numbers: Mapping[str, Value] = _NOTHING
    gathered: Mapping[tuple[str, str], Reading | None] = _NOTHING
    """What has been read so far at a step that wants several: (reading, spot) → reading."""
    unread: tuple[str, ...] = ()
    """Nameplate fields that can't be read: they are not asked again."""
    close: bool = False
    """The step's reading was too close to call once; it is being read again."""
    first: str = ""
    """The step for which something else, put in by the engine, is done first."""
    helped: tuple[str, ...] = ()
    """What was put in before that step already: nothing is put in twice."""
    retried: tuple[str, ...] = ()
    """The step for which the stage was entered anew, and the change of stage begun anew."""
    waited: bool = False
    """The wait before the step was cut short."""
    since: str = ""
    """When the step was reached: the time of the entry before it."""
    verdicts: Mapping[str, str] = _NOTHING
    """Step → verdict of its latest answer; for a procedure's use its return word."""
    taken: Mapping[ReadingKey, Took] = _NOTHING
    named: Mapping[str, tuple[ReadingKey, ...]] = _NOTHING
    """``step.reading`` → where to find what it read."""
    worked: Mapping[str, Value] = _NOTHING
    """``step.name`` → what was worked out there."""
    go_on: str = ""
    """The latest ``if still wrong``."""
    found: tuple[Found, ...] = ()
    bearings: tuple[Bearing, ...] = ()
    passed: tuple[Passed, ...] = ()
    proved: Mapping[str, str] = _NOTHING
    """Zone → when it was reported dead."""
    astray: tuple[int, ...] = ()
    """Entries that no longer lie on the way since an earlier one was corrected."""
    end: str = ""
    ending: str = ""
    """The step at which the walk ended."""
    handed_to: str = ""
    stopped: str = ""
    """The reason to stop, once given: no stage is entered or left any more."""
