"""The shipped layouts: whole, sound, and connected as a graph library says they are."""

from __future__ import annotations

from random import Random

import networkx
import pytest

from engine.layouts import BOX_TYPES, DEVICE_TYPES, LAYOUTS, Layout, Opened, ZoneKind

EVERY = list(LAYOUTS.values())
BY_NAME = pytest.mark.parametrize("layout", EVERY, ids=lambda layout: layout.name)


def test_five_layouts_are_shipped_under_their_names() -> None:
    assert list(LAYOUTS) == [
        "single feed",
        "two feeds and outlet",
        "building controls",
        "cord-connected",
        "with drive",
    ]


@BY_NAME
def test_every_name_used_is_declared_once(layout: Layout) -> None:
    zones, devices, boxes = layout.zone_at, layout.device_at, layout.box_at
    assert (len(zones), len(devices), len(boxes)) == (
        len(layout.zones),
        len(layout.devices),
        len(layout.boxes),
    )
    for device in layout.devices:
        assert {device.line, device.load} <= set(zones)
        assert not device.box or device.box in boxes
        assert device.type in DEVICE_TYPES
    for box in layout.boxes:
        assert {*box.exposes, *box.behind} <= set(zones)
        assert not {*box.exposes} & {*box.behind}
        assert box.type in BOX_TYPES
    assert {source.zone for source in layout.sources} <= set(zones)
    assert layout.zone(layout.unit).stores
    assert layout.zone(layout.unit).kind is ZoneKind.POWER


@BY_NAME
def test_every_zone_is_fed_when_everything_is_closed(layout: Layout) -> None:
    assert layout.reached(lambda _: True) == (1 << len(layout.zones)) - 1


@BY_NAME
def test_locks_can_hold_the_unit_off(layout: Layout) -> None:
    isolating = [DEVICE_TYPES[device.type].isolates for device in layout.devices]
    reached = layout.reached(lambda at: not isolating[at])
    assert not reached >> layout.zone_at[layout.unit] & 1
    assert not reached >> layout.zone_at["control"] & 1


@BY_NAME
def test_guards_and_terminals_show_power_only(layout: Layout) -> None:
    for box in layout.boxes:
        if BOX_TYPES[box.type].opened is not Opened.LIVE:
            assert {layout.zone(zone).kind for zone in box.exposes} == {ZoneKind.POWER}


@BY_NAME
def test_the_service_is_shown_only_behind_a_barrier(layout: Layout) -> None:
    for box in layout.boxes:
        assert ZoneKind.SERVICE not in {layout.zone(zone).kind for zone in box.exposes}


@BY_NAME
def test_what_a_source_reaches_is_what_networkx_says(layout: Layout) -> None:
    """Oracle: connected components of networkx over the devices that pass."""
    random = Random(layout.name)
    for _ in range(200):
        passing = [random.random() < 0.6 for _ in layout.devices]
        graph: networkx.Graph[str] = networkx.Graph()
        graph.add_nodes_from(zone.name for zone in layout.zones)
        graph.add_edges_from(
            (device.line, device.load)
            for device, passes in zip(layout.devices, passing, strict=True)
            if passes
        )
        fed = set().union(
            *(networkx.node_connected_component(graph, source.zone) for source in layout.sources)
        )
        bits = layout.reached(passing.__getitem__)
        assert {z.name for at, z in enumerate(layout.zones) if bits >> at & 1} == fed


@BY_NAME
def test_what_a_device_feeds_is_what_networkx_says(layout: Layout) -> None:
    """Oracle: descendants of the load side in networkx, of the load side's own kind."""
    graph: networkx.DiGraph[str] = networkx.DiGraph()
    graph.add_edges_from((device.line, device.load) for device in layout.devices)
    for at, device in enumerate(layout.devices):
        kind = layout.zone(device.load).kind
        below = {device.load, *networkx.descendants(graph, device.load)}
        wanted = {name for name in below if layout.zone(name).kind is kind}
        assert {layout.zones[zone].name for zone in layout.feeds[at]} == wanted


def test_a_breaker_answers_for_power_and_a_control_fuse_for_control() -> None:
    layout = LAYOUTS["single feed"]
    names = {
        device.name: [layout.zones[zone].name for zone in layout.feeds[at]]
        for at, device in enumerate(layout.devices)
    }
    assert names == {
        "main": ["bus", "feeder", "unit"],
        "breaker": ["feeder", "unit"],
        "disconnect": ["unit"],
        "control fuse": ["control"],
    }


def test_what_isolates_is_no_control_device() -> None:
    """29 CFR 1910.147(b): push buttons, selector switches and the like do not isolate."""
    assert {name for name, one in DEVICE_TYPES.items() if one.isolates} == {
        "main",
        "breaker",
        "fused disconnect",
        "disconnect",
        "plug",
    }


def test_a_layout_is_compared_by_value_and_can_be_a_key() -> None:
    layout = LAYOUTS["single feed"]
    assert {layout: 1}[layout] == 1
    with pytest.raises(KeyError):
        layout.zone("attic")
