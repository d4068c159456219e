"""The two laws that make a proof of every slice a proof of the whole, in states of random walks.

*Complete*: what stands against an act stands against it in some slice, and nothing else does.
*Closed*: what an act does to a slice follows from the slice alone.
"""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest

from engine import power
from engine.layouts import LAYOUTS, Layout
from engine.power import Deed, State
from engine.verify.slices import Slice, devices_ahead, slices, whole
from tests.random_walks import walk

FEW = range(3)
"""Walks of a change; the long tier takes many, on every layout."""
TWO = [LAYOUTS["single feed"], LAYOUTS["two feeds and outlet"]]


def moments(layout: Layout, seed: int) -> Iterator[tuple[State, Deed, str]]:
    """Yield states of random walks, each with every deed of one walk that may come then."""
    dice = random.Random(seed)
    events, states = walk(dice, layout)
    for deed, outcome in events:
        for state in dice.sample(states, min(6, len(states))):
            yield state, deed, outcome


@pytest.mark.parametrize("layout", TWO, ids=lambda one: one.name)
def test_what_stands_against_an_act_stands_in_some_slice(layout: Layout) -> None:
    complete(layout, FEW)


def complete(layout: Layout, seeds: range) -> None:
    """Assert that slices refuse together what the model refuses, in states of random walks."""
    every, asked, refused = slices(layout), 0, 0
    for seed in seeds:
        for state, deed, _ in moments(layout, seed):
            wanted = {(one.rule, one.sentence) for one in power.refusals(layout, state, deed)}
            found = {one for part in every for one in part.against(part.of(state), deed)}
            assert found == wanted, (deed, state)
            asked, refused = asked + 1, refused + bool(wanted)
    # Both must have come, or nothing was compared.
    assert 0 < refused < asked


@pytest.mark.parametrize("layout", TWO, ids=lambda one: one.name)
def test_what_an_act_does_to_a_slice_follows_from_the_slice(layout: Layout) -> None:
    closed(layout, FEW[:1])


def closed(layout: Layout, seeds: range) -> None:
    """Assert that slices move by themselves as the model moves them, or to something worse."""
    moved = 0
    for part in (*slices(layout), *_finer(layout), whole(layout)):
        for seed in seeds:
            for state, deed, outcome in moments(layout, seed):
                before = part.of(state)
                wanted = part.of(power.apply(layout, state, deed, outcome))
                after = part.after(before, deed, outcome)
                assert after == wanted or _worse(after, wanted), (part.name, deed, outcome)
                moved += after != before
    assert moved


def _finer(layout: Layout) -> Iterator[Slice]:
    for part in slices(layout):
        for one in part.finer:
            yield one
            if one.exact:
                yield one.exact


def _worse(after: State, wanted: State) -> bool:
    """Return whether a state differs only in that a device has more trips to it."""
    trips = all(a >= b for a, b in zip(after.trips, wanted.trips, strict=True))
    return trips and after._replace(trips=wanted.trips) == wanted


def test_the_devices_ahead_of_a_zone_are_those_on_the_way_from_a_source() -> None:
    layout = LAYOUTS["single feed"]
    names = [device.name for device in layout.devices]
    ahead = {
        zone.name: [names[at] for at in sorted(devices_ahead(layout, number))]
        for number, zone in enumerate(layout.zones)
    }
    assert ahead == {
        "service": [],
        "bus": ["main"],
        "feeder": ["main", "breaker"],
        "unit": ["main", "breaker", "disconnect"],
        "control": ["main", "breaker", "disconnect", "control fuse"],
    }
