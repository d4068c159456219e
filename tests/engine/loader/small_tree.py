"""A small tree with every kind of thing in it, as text."""

from __future__ import annotations

from engine.loader.document import Document
from engine.loader.text import read

SMALL = """\
format: 1
tree: hums-and-stops
title: Compressor hums, then goes quiet
complaint: {said as: [it hums and stops], shows: compressor hums}
revision: 1
status: draft
layout: single feed
if stuck: leave
nameplate:
  rated_capacitance: {ask: Rating on the can, quantity: capacitance, from: 5 uF, to: 100 uF}
suspects:
  weak-capacitor: {title: Weak run capacitor, weight: 3 of 10}
lists:
  loads: {fan: {the name: fan, the leads: blower leads, if: phases is 3}}
stages:
  unit dead:
    zone: unit
    box: control box
    enter: {use: isolate, with: {the zones: {unit: {the zone: unit}}}, returns: {not done: leave}}
    leave: {use: close-and-unlock, with: {the device: disconnect}}
start: capacitor
steps:
  capacitor:
    title: Run capacitor, HERM to C
    stage: unit dead
    act: read dead
    minutes: 4
    caution: {WARNING: Stored charge.}
    leads off: [run_cap.HERM]
    work out: {low: rated_capacitance less 6 %}
    readings: {herm: {function: capacitance, between: [run_cap.HERM, run_cap.C], when: dead}}
    bands:
      below low: {verdict: weak, finds: weak-capacitor, if still wrong: each}
      otherwise: {verdict: good, clears: [weak-capacitor], then: each}
    cannot: {reach: each, not now: leave}
    source: nameplate; tolerance on the can
    wait: {for: 5 min, why: So that it cools.}
  each:
    for each: loads
    none: by-phases
    steps:
      ask-it: {act: ask, do: Look at the fan., choices: {turns: next one, stands: leave}}
  by-phases: {title: By phases, sort: phases, choices: {"1": again, "3": leave}}
  again: {like: capacitor, title: The same once more}
  other: {hand over: trips-breaker, keep: [nameplate]}
  leave: {stage: any, use: make-safe-and-leave, with: {the device: disconnect}}
findings:
  weak-capacitor:
    suspect: weak-capacitor
    stage: unit dead
    repair: "Replace: {rated_capacitance}, same volts or more."
    tell customer: The capacitor was weak.
    then: leave
    not now: leave
"""


def load(text: str) -> Document:
    document = read("small.yaml", text.encode())
    assert document.problems == ()
    return document
