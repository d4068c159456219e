"""The stages of a begun tree: what the shipped procedures do before and after its checks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from engine.starter.plan import STAGE_ZONES
from engine.starter.words_known import DEAD_BOXES, LIVE_BOXES
from engine.starter.written import remark

_BOX = {name: box for boxes in (LIVE_BOXES, DEAD_BOXES) for box, name in boxes.items()}
_LIVE = """\
    enter: {{use: open-the-box, with: {{the box: {box}}}, returns: {{not available: leave}}}}
    leave: {{use: close-up-the-box, with: {{the box: {box}}}}}
"""
_LOCKED = """\
    enter:
      use: lock-out-and-open
      with: {{the work zone: unit, the device: disconnect, the box: {box}}}
      returns: {{not done: leave, not available: leave-at-breaker, stop: withdraw}}
    leave: {{use: close-and-unlock, with: {{the device: disconnect, the box: {box}}}}}
"""
_PROVEN = """\
    enter:
      use: isolate-and-prove-dead
      with:
        the zones: {{unit: {{the zone: unit, the points: contactor line}}}}
        the work zone: unit
        the device: disconnect
        the box: {box}
      returns: {{not done: leave, not available: leave-at-breaker, stop: withdraw}}
    leave: {{use: close-and-unlock, with: {{the device: disconnect, the box: {box}}}}}
"""


def stages(names: Iterable[str]) -> Iterator[str]:
    """Yield the stages of these names."""
    wanted = tuple(names)
    if not wanted:
        return
    yield from remark(
        "The states that checks are done in. What it takes to come into one and out again "
        "(opening, locking out, proving, shutting) is in the shipped procedures and comes by "
        "itself."
    )
    yield "stages:"
    for name in wanted:
        box, zone = _BOX[name], STAGE_ZONES[name]
        dead = name in DEAD_BOXES.values()
        way = (_PROVEN if zone == "unit" else _LOCKED) if dead else _LIVE
        yield f"  {name}:"
        yield f"    zone: {zone}"
        yield f"    box: {box}"
        yield from way.format(box=box).splitlines()
    yield ""
