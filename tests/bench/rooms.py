"""Trees of any size over four zones: stages, shipped procedures, ways that come together."""

from __future__ import annotations

from itertools import cycle, permutations, product
from string import Template

from tests.bench.large_tree import PLACES

STEPS_A_ROUND = 15
"""Steps, at the least, of a round of the tree once its procedures are written out."""

_HEAD = """format: 1
tree: rooms
title: A tree of many rounds
complaint: {said as: [it is large]}
revision: 1
status: draft
layout: single feed
if stuck: leave
suspects:
  worn: {title: Something worn, weight: 1 of 10}
stages:
  all dead:
    zone: unit
    box: control box
    enter:
      use: isolate-at-the-breaker
      with:
        the zones: {unit: {the zone: unit, the points: contactor line}}
        the work zone: unit
        the breaker: breaker
        the disconnect: disconnect
        the box: control box
      returns:
        not done: leave-at-breaker
        not available: leave
        bad disconnect: leave-at-breaker
        stop: withdraw
    leave: {use: close-and-unlock, with: {the device: breaker, the box: control box}}
  panel dead:
    zone: feeder
    box: panel
    enter:
      use: isolate-the-panel
      with:
        the zones:
          bus:    {the zone: bus, the points: panel bus}
          feeder: {the zone: feeder, the points: breaker load}
        the work zone: feeder
        the main: main
        the breaker: breaker
        the disconnect: disconnect
        the box: panel
      returns: {not available: leave, bad disconnect: leave-at-breaker, stop: withdraw}
    leave:
      use: close-and-switch-on
      with: {the device: main, the box: panel}
      returns: {trips: main-tripped}
  disconnect live:
    zone: feeder
    box: disconnect box
    enter: {use: open-the-box, with: {the box: disconnect box}, returns: {not available: leave}}
    leave: {use: close-up-the-box, with: {the box: disconnect box}}
  unit live:
    zone: control
    box: control box
    enter: {use: open-the-box, with: {the box: control box}, returns: {not available: leave}}
    leave: {use: close-up-the-box, with: {the box: control box}}
start: size-up
steps:
  size-up:
    title: Look round
    act: look over
    choices:
      fit: {counts as: fit, then: volts-1}
      not fit: {counts as: not fit, then: withdraw}
"""

_ROUND = Template("""  volts-$n:
    title: Volts at place $n
    stage: unit live
    act: read live
    minutes: 2
    do: Black on the one, red on the other. AC volts.
    readings:
      rc: {function: volts, between: [$a, $b], when: $when}
    bands:
      below 20 V: {verdict: low, counts as: under 50, then: which-$n}
      up to 30 V: {verdict: good, counts as: under 50, then: supply-$n}
      otherwise: {verdict: line voltage, then: supply-$n}
    cannot: supply-$n
    source: "judgement: what is fed shows volts"
  which-$n:
    title: What low volts come to
    act: ask
    choices: {it hums: ground-$n, it is still: supply-$n}
  supply-$n:
    stage: disconnect live
    use: supply-survey
    with: {the zone: feeder, the box: disconnect box, the points: disconnect line}
    returns:
      good: ground-$n
      low: lugs-$n
      high: ground-$n
      unbalanced: lugs-$n
      lost leg: lugs-$n
      open neutral: ground-$n
      not proven: ground-$n
      nothing: lugs-$n
      not done: ground-$n
  ground-$n:
    stage: all dead
    use: ground-check
    with: {the zone: unit, the box: control box}
    returns: {clear: ohms-$n, grounded: leave, shorted: leave, not done: leave}
  ohms-$n:
    title: Ohms between the legs, round $n
    stage: all dead
    act: read dead
    minutes: 2
    leads off: [compressor leads]
    do: Pair by pair. Ohms.
    readings:
      line: {function: ohms, pairs of: compressor leads, when: dead}
    judge: min(line)
    bands:
      below 1 ohm: {verdict: short, finds: worn, if still wrong: leave}
      otherwise: {verdict: whole, then: lugs-$n}
    cannot: lugs-$n
    source: "judgement: a short reads what the leads read"
  lugs-$n:
    stage: panel dead
    use: lug-inspection
    with: {the zone: feeder, the box: panel}
    returns:
      sound: volts-$next
      beside: again-$n
      doubled: volts-$next
      burnt: {finds: worn, if still wrong: leave}
      loose: again-$n
      not done: volts-$next
  again-$n:
    title: Seen after round $n
    act: ask
    choices: {the same: volts-$next, less: volts-$next, gone: last}
""")

_TAIL = """  last:
    title: The end of it
    act: ask
    choices: {worn: {finds: worn, if still wrong: leave}, nothing more: leave}
  back:
    stage: all dead
    use: ground-check
    with: {the zone: unit, the box: control box}
    returns: {clear: breaker-on, grounded: leave, shorted: leave, not done: leave}
  breaker-on:
    title: Breaker on
    act: switch on
    mode: for service
    device: breaker
    choices:
      holds: {counts as: holds, then: on-again}
      trips: {counts as: trips, then: leave-at-breaker}
    cannot: leave
  on-again:
    use: put-back-and-prove
    with: {the device: disconnect, the breaker: breaker, the work zone: unit, the box: control box}
    returns:
      proved: hand-back
      trips: leave
      low volts: leave
      too many amps: leave
      still wrong: leave
  hand-back: {use: hand-back}
  leave: {stage: any, use: make-safe-and-leave, with: {the device: disconnect}}
  leave-at-breaker: {stage: any, use: make-safe-and-leave, with: {the device: breaker}}
  main-tripped: {title: The main let go, stage: any, act: ask, then: leave}
  withdraw: {stage: any, use: withdraw}
findings:
  worn:
    suspect: worn
    stage: all dead
    zone: unit
    box: control box
    repair: A new part of the same rating.
    minutes: 20
    tell customer: A part was worn.
    then: back
"""


def tree_text(size: int) -> str:
    """Return the text of a tree that has ``size`` steps and more once everything is written out.

    No two rounds read the same places at the same moment while there are places for it (2,610).
    """
    rounds = -(-size // STEPS_A_ROUND)
    where = cycle(product(("at rest", "at start", "running"), permutations(PLACES, 2)))
    written = [
        _ROUND.substitute(n=n, next=n + 1, when=when, a=a, b=b)
        for n, (when, (a, b)) in zip(range(1, rounds + 1), where, strict=False)
    ]
    return _HEAD + "".join(written).replace(f"volts-{rounds + 1}", "last") + _TAIL
