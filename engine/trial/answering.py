"""What eye, ear, nose and handle answer on a simulated unit: the choices of a step, row by row.

Owns `Choosing`. An answer that says what shows it is given where all of that is shown, the first
such in the order of the file; else the first answer that nothing shows: so a sound unit answers.
What a switch does, what runs and what stands still follow from the circuit without being said.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from engine.power import Act
from engine.tree import DONE, ActHead, Outcome, Step
from engine.trial.site import CALL, PATIENCE, Part, Site, Work, scattered
from engine.unit.condition import Condition
from engine.unit.meter import Rows
from engine.unit.network import Flags
from engine.unit.observed import shows
from engine.unit.settled import Settled, When
from engine.unit.showing import Does, Showing

_BURNT = "handle-burnt"


class Choosing:
    """Answers the choices of steps for rows of one site."""

    def __init__(self, site: Site) -> None:
        self._site = site

    def answers(self, step: Step, head: ActHead, work: Work, rows: Rows) -> list[tuple[str, Rows]]:
        """Return the answers that rows give, with the rows of each; ``work`` has the step done."""
        if not head.judgements:
            return [(DONE, rows)]
        choices = head.judgements[0].answers
        left = np.ones(rows.size, dtype=bool)
        found: list[tuple[str, Rows]] = []
        for key, outcome in choices.items():
            shown = self._shown(head, outcome, work, rows)
            if shown is None:
                continue
            here = left & shown
            if here.any():
                found.append((key, rows[here]))
            left &= ~here
        if left.any():
            usual = self._usual(head, choices)
            found.append((usual, rows[left]))
        return found

    def _usual(self, head: ActHead, choices: Mapping[str, Outcome]) -> str:
        plain = [
            key
            for key, outcome in choices.items()
            if not outcome.shown_by and not _goes_wrong(head, outcome)
        ]
        return plain[0] if plain else next(iter(choices))

    def _shown(self, head: ActHead, outcome: Outcome, work: Work, rows: Rows) -> Flags | None:
        """Return which rows show an answer; None for one that nothing shows."""
        if outcome.shown_by:
            return self._stated(head, outcome.shown_by, work, rows)
        if not _goes_wrong(head, outcome):
            return None
        if head.act is Act.SWITCH_ON or (head.act is Act.RUN and outcome.counts_as):
            return self._trips(work, rows)
        if head.act is Act.TRY:
            return self._runs(work, rows)
        if head.act is Act.SWITCH_OFF and outcome.counts_as == "damaged":
            burnt = Showing(_BURNT, Does.SIGN, head.device)
            return self._stated(head, (burnt,), work, rows)
        return np.zeros(rows.size, dtype=bool)

    def _stated(self, head: ActHead, showings: Sequence[Showing], work: Work, rows: Rows) -> Flags:
        found = np.ones(rows.size, dtype=bool)
        for one in showings:
            trips = one.does in (Does.TRIPS, Does.HOLDS)
            told = head.act is Act.ASK and trips
            parts = self._site.told(rows) if told else self._now(work, rows)
            flags = [(shows(s, one, _when(one))[places], asked) for s, asked, places, _ in parts]
            found &= scattered(flags, rows.size)
        return found

    def _now(self, work: Work, rows: Rows) -> list[Part]:
        calls = CALL if work.called else frozenset()
        return self._site.parts(work, rows, Condition(calls=calls))

    def _trips(self, work: Work, rows: Rows) -> Flags:
        """Return where a breaker or a fuse opens while somebody watches."""
        return scattered(
            [(_opens(s)[places], asked) for s, asked, places, _ in self._now(work, rows)],
            rows.size,
        )

    def _runs(self, work: Work, rows: Rows) -> Flags:
        """Return where something turns when it is called for."""
        parts = self._site.parts(work, rows, Condition(calls=CALL))
        return scattered([(_turns(s)[places], asked) for s, asked, places, _ in parts], rows.size)


def _goes_wrong(head: ActHead, outcome: Outcome) -> bool:
    """Return whether an answer follows from the circuit, and is not what a sound unit does."""
    match head.act:
        case Act.SWITCH_ON:
            return outcome.counts_as == "trips"
        case Act.RUN:
            return outcome.counts_as == "tripped"
        case Act.TRY:
            return outcome.counts_as == "not stopped"
        case Act.SWITCH_OFF:
            return bool(outcome.counts_as)
        case _:
            return False


def _when(showing: Showing) -> When:
    return When.AFTER_THE_TRIP if showing.does in (Does.LIT, Does.DARK) else When.RUNNING


def _opens(settled: Settled) -> Flags:
    found = np.zeros(settled.rows.size, dtype=bool)
    for one in settled.circuit.netlist.protections:
        if one.name == "breaker" or one.name.startswith("disconnect."):
            found |= settled.tripped_after(one.name) <= PATIENCE
    return found


def _turns(settled: Settled) -> Flags:
    found = np.zeros(settled.rows.size, dtype=bool)
    for one in settled.circuit.netlist.machines:
        found |= settled.turns(one.name)
    return found
