"""Trees of any size for the benchmarks: real steps with readings, bands, sorts and procedures."""

from __future__ import annotations

HEAD = """format: 1
tree: large
title: A tree of {size} steps
complaint: {{said as: [it is large], shows: nothing}}
revision: 1
status: draft
layout: single feed
if stuck: leave
suspects:
  worn: {{title: Something worn, weight: 1 of 10}}
stages:
  at the thermostat:
    zone: control
    box: thermostat
    enter: {{use: open-the-box, with: {{the box: thermostat}}, returns: {{not available: leave}}}}
    leave: {{use: close-up-the-box, with: {{the box: thermostat}}}}
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
    title: R to C, place {n}
    stage: at the thermostat
    act: read live
    minutes: 2
    why: The volts at place {n} part what is before it from what is after it.
    do: Black on C, red on place {n}. Read AC volts.
    work out: {{least: 85 % of 24 V, most: 125 % of 24 V}}
    readings:
      rc: {{function: volts, between: [thermostat.R, thermostat.C], when: place {n}}}
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
    repair: Replace it.
    tell customer: A part was worn.
    left: It stays worn.
    then: leave
"""


def tree_text(size: int) -> str:
    """Return the text of a tree with ``size`` steps that read, one after another."""
    steps = "".join(STEP.format(n=n, next=n + 1) for n in range(1, size + 1))
    return HEAD.format(size=size) + steps + TAIL.format(last=size + 1)


def readings_text(size: int) -> str:
    """Return the readings that walk that tree from end to end."""
    answers = "".join(f"  step-{n}: 24.1 V\n" for n in range(1, size + 1))
    return (
        "format: 1\nreadings for: large\nanswers:\n  size-up: fit\n"
        f"{answers}  step-{size + 1}: nothing more\n  all-clear: done\n  switch-off: 'off'\n"
        "  tag: done\n  tell: told\n"
    )
