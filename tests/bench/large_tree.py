"""Trees of any size for the benchmarks: real steps with readings, bands and procedures."""

from __future__ import annotations

from itertools import islice, permutations, product

PLACES = (
    "board.R", "board.C", "board.Y", "board.G", "board.W", "cable.R", "cable.C", "cable.Y",
    "cable.G", "cable.W", "transformer.secondary.R", "transformer.secondary.C",
    "control_fuse.line", "control_fuse.load", "contactor.coil.1", "contactor.coil.2",
    "string.middle", "string.end", "drain_float.in", "drain_float.out", "pan_float.in",
    "pan_float.out", "firestat.in", "firestat.out", "door_switch.in", "door_switch.out",
    "shutdown.in", "shutdown.out", "economizer.R", "smoke_detector.R",
)  # fmt: skip
"""Places of the control circuit in the control box."""

HEAD = """format: 1
tree: large
title: A tree of {size} steps
complaint: {{said as: [it is large]}}
revision: 1
status: draft
layout: single feed
if stuck: leave
suspects:
  worn: {{title: Something worn, weight: 1 of 10}}
stages:
  unit live:
    zone: control
    box: control box
    enter: {{use: open-the-box, with: {{the box: control box}}, returns: {{not available: leave}}}}
    leave: {{use: close-up-the-box, with: {{the box: control box}}}}
start: size-up
steps:
  size-up:
    title: Look round
    act: look over
    choices:
      fit: {{counts as: fit, then: step-1}}
      not fit: {{counts as: not fit, then: withdraw}}
"""

STEP = """  step-{n}:
    title: Volts at place {n}
    stage: unit live
    act: read live
    minutes: 2
    why: The volts at place {n} part what is before it from what is after it.
    do: Black on the one, red on the other. AC volts, place {n}.
    work out: {{least: 85 % of 24 V, most: 125 % of 24 V}}
    readings:
      rc: {{function: volts, between: [{a}, {b}], when: {when}}}
    bands:
      below least:
        verdict: low
        means: Too little comes this far.
        counts as: under 50
        then: step-{next}
      up to most:
        verdict: good
        means: Everything before place {n} is good.
        counts as: under 50
        then: step-{next}
      otherwise:
        verdict: line voltage
        points to: [worn]
        finds: worn
        if still wrong: leave
    cannot: step-{next}
    source: "physics: what is fed shows volts"
"""

TAIL = """  step-{last}:
    title: The end of it
    act: ask
    choices: {{worn: {{finds: worn, if still wrong: leave}}, nothing more: leave}}
  leave: {{stage: any, use: make-safe-and-leave, with: {{the device: disconnect}}}}
  withdraw: {{stage: any, use: withdraw}}
findings:
  worn:
    suspect: worn
    act: ask
    repair: Say who has to see to it.
    tell customer: A part was worn.
    left: It stays worn.
    then: leave
"""


def tree_text(size: int) -> str:
    """Return the text of a tree with ``size`` steps that read, one after another.

    No two read the same places at the same moment while there are places for it (2,610).
    """
    where = product(("at rest", "at start", "running"), permutations(PLACES, 2))
    read = [*islice(where, size)]
    steps = "".join(
        STEP.format(n=n, next=n + 1, when=when, a=a, b=b)
        for n in range(1, size + 1)
        for when, (a, b) in [read[(n - 1) % len(read)]]
    )
    return HEAD.format(size=size) + steps + TAIL.format(last=size + 1)


def readings_text(size: int) -> str:
    """Return the readings that walk that tree from end to end."""
    answers = "".join(f"  step-{n}: 24.1 V\n" for n in range(1, size + 1))
    return (
        "format: 1\nreadings for: large\nanswers:\n  size-up: fit\n"
        f"{answers}  step-{size + 1}: nothing more\n  switch-off: 'off'\n"
    )
