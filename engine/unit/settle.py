"""What happens when the unit is left to itself: relays, then machines, then protection.

Owns the order of events. Relays move within milliseconds and are tried first, machines within
seconds, protection opens one device at a time, the quickest first. Each lasting state is kept as a
snapshot with its duration and with what ended it: a reading is defined only in one of them. Relays
that find no rest chatter, and that is a result.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from engine.unit.circuit import Circuit
from engine.unit.condition import Condition
from engine.unit.network import Flags, Network, State
from engine.unit.rows import Reals
from engine.unit.spinning import moved

START_SECONDS = 0.5
"""How long a start lasts; what opens sooner opens during it."""
QUICK = 0.02
"""Seconds that the quickest protection takes: a cycle or so."""
_MOST_EVENTS = 60
_MOST_TOGGLES = 6
"""Times that relays move without a machine or a protection before it is called chatter."""

Whole = NDArray[np.intp]


@dataclass(slots=True)
class Snapshots:
    """The lasting states of every row in their order; what a row has not is never marked."""

    circuit: Circuit
    count: Whole
    """[rows]"""
    states: list[State]
    there: list[Flags]
    starting: list[Flags]
    """Machines stand with volts on and are about to turn, or to try."""
    seconds: list[Reals]
    """Infinite for the last of a row."""
    ended_by: list[Whole]
    """The protection that ended it; -1 for a start or the last."""
    chatters: Flags
    """[rows]"""
    ended: Network | None = None
    """The circuit of all rows in the last of each, where all have come to it at once."""

    @classmethod
    def none(cls, circuit: Circuit, rows: int) -> Snapshots:
        """Return what has not begun."""
        empty: Whole = np.zeros(rows, dtype=np.intp)
        return cls(circuit, empty, [], [], [], [], [], np.zeros(rows, dtype=bool))

    @property
    def rows(self) -> int:
        """How many rows there are."""
        return self.count.size

    def keep(
        self, which: Whole, state: State, seconds: Reals, ended_by: Whole, *, starting: bool
    ) -> None:
        """Keep the next snapshot of some rows; ``state`` and the rest are those rows'."""
        order = self.count[which]
        for at in np.unique(order):
            while len(self.states) <= at:
                self._add_level()
            here = order == at
            rows = which[here]
            for whole, part in (
                (self.states[at].pulled, state.pulled),
                (self.states[at].slip, state.slip),
                (self.states[at].stalled, state.stalled),
                (self.states[at].whole, state.whole),
            ):
                whole[:, rows] = part[:, here]
            self.there[at][rows] = True
            self.starting[at][rows] = starting
            self.seconds[at][rows] = seconds[here]
            self.ended_by[at][rows] = ended_by[here]
        self.count[which] += 1

    def _add_level(self) -> None:
        self.states.append(State.at_rest(self.circuit, self.rows))
        self.there.append(np.zeros(self.rows, dtype=bool))
        self.starting.append(np.zeros(self.rows, dtype=bool))
        self.seconds.append(np.zeros(self.rows))
        self.ended_by.append(np.full(self.rows, -1, dtype=np.intp))

    def state(self, order: Whole) -> State:
        """Return the state of every row in the snapshot of that order, [rows]."""
        picked = State.at_rest(self.circuit, self.rows)
        for at, kept in enumerate(self.states):
            here = order == at
            for into, part in (
                (picked.pulled, kept.pulled),
                (picked.slip, kept.slip),
                (picked.stalled, kept.stalled),
                (picked.whole, kept.whole),
            ):
                into[:, here] = part[:, here]
        return picked

    def opened_after(self, name: str) -> Reals:
        """Return after how many seconds a protection opens, [rows]; infinite for never."""
        names = [one.name for one in self.circuit.netlist.protections]
        passed, when = np.zeros(self.rows), np.full(self.rows, np.inf)
        for at, lasts in enumerate(self.seconds):
            passed = passed + np.where(self.there[at], lasts, 0.0)
            opens = self.there[at] & (self.ended_by[at] == names.index(name)) & np.isinf(when)
            when[opens] = passed[opens]
        return when


def settle(circuit: Circuit, condition: Condition, values: Reals, begin: State) -> Snapshots:
    """Return what every row does in a condition, from the state it is in."""
    rows = values.shape[1]
    found = Snapshots.none(circuit, rows)
    state = State(begin.pulled.copy(), begin.slip.copy(), begin.stalled.copy(), begin.whole.copy())
    toggles = np.zeros(rows, dtype=np.intp)
    active = np.arange(rows)
    network = Network(circuit, condition, state, values)
    for _ in range(_MOST_EVENTS):
        network = _now(network, state.only(active), values, active)
        pulled = relays(network)
        changed = (pulled != network.state.pulled).any(axis=0)
        toggles[active[changed]] += 1
        chatter = changed & (toggles[active] > _MOST_TOGGLES)
        found.chatters[active[chatter]] = True
        state.pulled[:, active] = np.where(changed & ~chatter, pulled, network.state.pulled)
        quiet = np.flatnonzero(~changed | chatter)
        finished = _after_relays(network, quiet, active, state, toggles, found)
        active = np.setdiff1d(active, finished, assume_unique=True)
        if not active.size:
            found.ended = network if finished.size == rows else None
            return found
    _keep_last(found, state, active)
    found.chatters[active] = True
    return found


def _now(before: Network, state: State, values: Reals, active: Whole) -> Network:
    """Return the network of the active rows; only machines may have changed since the last one."""
    if (
        before.rows == active.size
        and (before.state.pulled == state.pulled).all()
        and (before.state.whole == state.whole).all()
    ):
        return before.with_slips(state)
    return Network(before.circuit, before.condition, state, values[:, active])


def _after_relays(
    network: Network,
    quiet: Whole,
    active: Whole,
    state: State,
    toggles: Whole,
    found: Snapshots,
) -> Whole:
    """Move machines, then protection, of the rows whose relays rest; return finished rows."""
    if not quiet.size:
        return quiet
    part = _part(network, quiet)
    after, turned = moved(part)
    rows = active[quiet]
    starts = (
        (part.state.slip >= 1.0) & ((after.slip < 1.0) | (after.stalled & ~part.state.stalled))
    ).any(axis=0)
    seconds, first = trips(part)
    opens = np.isfinite(seconds) & (~turned | (starts & (seconds < START_SECONDS)))
    begun = starts & ~opens
    lasts = np.full(quiet.size, START_SECONDS)
    none = np.full(quiet.size, -1, dtype=np.intp)
    _keep(found, part.state, rows, begun, lasts, none, starting=True)
    _keep(found, part.state, rows, opens & starts, seconds, first, starting=True)
    _keep(found, part.state, rows, opens & ~starts, seconds, first, starting=False)
    goes = turned & ~opens
    state.slip[:, rows[goes]] = after.slip[:, goes]
    state.stalled[:, rows[goes]] = after.stalled[:, goes]
    state.whole[first[opens], rows[opens]] = False
    toggles[rows[goes | opens]] = 0
    rests = ~goes & ~opens
    endless = np.full(quiet.size, np.inf)
    _keep(found, part.state, rows, rests, endless, none, starting=False)
    return rows[rests]


def _part(network: Network, which: Whole) -> Network:
    """Return the network of some rows, itself where these are all."""
    if which.size == network.rows:
        return network
    return Network(
        network.circuit, network.condition, network.state.only(which), network.values[:, which]
    )


def _keep(
    found: Snapshots,
    state: State,
    rows: Whole,
    mask: Flags,
    seconds: Reals,
    ended_by: Whole,
    *,
    starting: bool,
) -> None:
    which = np.flatnonzero(mask)
    if which.size:
        found.keep(
            rows[which], state.only(which), seconds[which], ended_by[which], starting=starting
        )


def _keep_last(found: Snapshots, state: State, rows: Whole) -> None:
    endless = np.full(rows.size, np.inf)
    none = np.full(rows.size, -1, dtype=np.intp)
    found.keep(rows, state.only(rows), endless, none, starting=False)


def relays(network: Network) -> Flags:
    """Return which relays are in after one movement, [relays, rows].

    A coil pulls by its current: an open one has volts and no pull, a shorted one the reverse.
    """
    circuit, pulled = network.circuit, network.state.pulled
    every = circuit.netlist.relays
    if not every:
        return pulled
    coils = tuple(one.coil for one in every)

    def of(names: tuple[str, ...]) -> Reals:
        return network.values[circuit.params(names)]

    wanted = np.where(
        pulled, of(tuple(one.drop_out for one in every)), of(tuple(one.pull_in for one in every))
    )
    ohms, x = (
        np.where(
            pulled,
            of(tuple(one.sealed[part] for one in every)),
            of(tuple(one.inrush[part] for one in every)),
        )
        for part in (0, 1)
    )
    pull = np.abs(network.through(coils)) * np.hypot(ohms, x)
    held = (np.abs(network.across(coils)) >= wanted) & (pull >= 0.5 * wanted)
    for at, one in enumerate(every):
        if one.name in network.condition.pressed:
            held[at] = True
    return np.asarray(held)


def trips(network: Network) -> tuple[Reals, Whole]:
    """Return when the first protection opens, in seconds, and which, [rows]."""
    circuit = network.circuit
    protections = circuit.netlist.protections
    if not protections:
        return np.full(network.rows, np.inf), np.zeros(network.rows, dtype=np.intp)
    watched = tuple(branch for one in protections for branch in one.watches)
    rated = tuple(one.amps for one in protections for _ in one.watches)
    share = (np.abs(network.through(watched)) / network.values[circuit.params(rated)]) ** 2
    times = np.full((len(protections), network.rows), np.inf)
    first = 0
    for at, one in enumerate(protections):
        here = share[first : first + len(one.watches)]
        first += len(one.watches)
        quick = here.max(axis=0) >= one.instant**2
        if one.heated_by:
            here = here + _heat(network, one.heated_by) / one.watts
        over = here.max(axis=0) - 1
        slow = np.where(over > 0, one.k / np.maximum(over, 1e-12), np.inf)
        times[at] = np.where(quick, QUICK, np.maximum(slow, QUICK))
    times[~network.state.whole] = np.inf
    return times.min(axis=0), times.argmin(axis=0)


def _heat(network: Network, joints: tuple[str, ...]) -> Reals:
    """Return the watts of joints, [joints, rows]."""
    ohms = network.values[network.circuit.params(tuple(f"{joint} ohms" for joint in joints))]
    return np.asarray(np.abs(network.through(joints)) ** 2 * ohms)


def rested(snapshots: Snapshots) -> State:
    """Return the state that every row ends in."""
    return snapshots.state(snapshots.count - 1)


def unpowered(state: State) -> State:
    """Return a state with machines standing, as after time without volts."""
    return replace(state, slip=np.ones_like(state.slip), stalled=np.zeros_like(state.stalled))
