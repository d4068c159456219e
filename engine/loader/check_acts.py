"""What a step does, where, and with which meter: each act with what it needs and nothing else.

Done on the tree as walked, where the zone and box of a stage and the parameters of a procedure
stand in the steps themselves.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from engine.layouts import LAYOUTS, Layout, ZoneKind
from engine.loader.building import offer
from engine.loader.kinds import judgements_of
from engine.loader.origin import Origins
from engine.loader.surroundings import GROUND
from engine.loader.wording import listed, shown
from engine.power import Act, Deed, misfit
from engine.reading import Function
from engine.tree import ANY_STAGE, THE, ActHead, ReadingSpec, Step, Tree, WalkTree
from engine.vocabulary import Point, Vocabulary

_READ_DEAD = (Act.READ_DEAD, Act.CHECK)
_READ_LIVE = (Act.READ_LIVE, Act.PROVE_DEAD, Act.DISCHARGE, Act.VERIFY)
_PLACES = ("zone", "device", "box")


def check_walk_acts(walk: WalkTree, origins: Origins) -> None:
    """Keep a problem for every act that lacks something or reads with the wrong function."""
    layout = LAYOUTS.get(walk.tree.layout)
    seen: set[object] = set()
    for step in walk.steps.values():
        head = step.head
        if not isinstance(head, ActHead):
            continue
        places = (head.zone, head.device, head.box, *(spec.points for spec in head.readings))
        if (key := (step.span, places)) in seen:
            continue
        seen.add(key)
        _functions(origins, step, head)
        _trips(origins, step, head)
        if layout is None or not any(list(_unknown_places(origins, layout, step, head))):
            _points(origins, walk, step, head)
            _deed(origins, walk.tree, layout, step, head)


# --- zones, devices, boxes ------------------------------------------------------------------------


def _deed(origins: Origins, tree: Tree, layout: Layout | None, step: Step, head: ActHead) -> None:
    written = origins.written(step, ("stage",))
    if written and written != ANY_STAGE and written not in tree.stages:
        return  # The stage has no such name, which is said where it is written.
    if layout is None or any(word.startswith(THE) for word in (head.zone, head.device, head.box)):
        return
    deed = Deed(
        act=head.act,
        zone=head.zone,
        device=head.device,
        box=head.box,
        item=head.item,
        mode=head.end or head.mode,
        on=head.on,
    )
    if sentence := misfit(layout, deed):
        fix = "Say it in the step, or in the stage that the step belongs to."
        if tree.stages and not written:
            fix = f"Give the step its stage, {listed(tree.stages)}, or say it in the step."
        origins.say("act-lacks", step, sentence, fix, ("act",))


def _unknown_places(origins: Origins, layout: Layout, step: Step, head: ActHead) -> Iterator[bool]:
    """Yield True for every place that the layout does not have, whoever wrote it."""
    known = {"zone": layout.zone_at, "device": layout.device_at, "box": layout.box_at}
    for kind in _PLACES:
        word = getattr(head, kind)
        if word and word not in known[kind]:
            if origins.written(step, (kind,)) == word:
                sentence = f"The layout {layout.name} has no {kind} {shown(word)}."
                fix = offer(word, known[kind], f"It has {listed(known[kind])}.")
                origins.say(f"unknown-{kind}", step, sentence, fix, (kind,))
            yield True


# --- meters ---------------------------------------------------------------------------------------


def _functions(origins: Origins, step: Step, head: ActHead) -> None:
    for spec in head.readings:
        if fix := _fix_of(head.act, spec.function):
            sentence = f"{spec.function.capitalize()} can't be read in a step with act: {head.act}."
            below = ("readings", spec.name, "function")
            origins.say("wrong-act", step, sentence, fix, below)


def _fix_of(act: Act, function: Function) -> str:
    """Return what act a function wants where it is not the step's; empty where it is."""
    if function is Function.INSULATION:
        wanted = "An insulation tester charges what it tests: the act is insulation test."
        return "" if act is Act.INSULATION_TEST else wanted
    if function.is_dead:
        wanted = "It is read without voltage: the act is read dead, or check."
        return "" if act in _READ_DEAD else wanted
    if function.is_live:
        wanted = "It is read with voltage: the act is read live, prove dead, discharge or verify."
        return "" if act in _READ_LIVE else wanted
    return ""


def _points(origins: Origins, walk: WalkTree, step: Step, head: ActHead) -> None:
    """Hold that the leads go where the step is: in its box, and in its zone."""
    zones: set[str] = set()
    for spec in head.readings:
        points = list(_places_of(origins, walk.vocabulary, step, spec))
        zones |= {point.zone for point in points if point.zone}
        inside = next((point for point in points if point.box), None)
        nowhere = not head.box and (not head.zone or head.act is Act.VERIFY)
        if inside and nowhere and head.act in (Act.READ_LIVE, Act.VERIFY):
            sentence = f"{inside.name} is in the {inside.box}, and the step names no box."
            fix = f"Write box: {inside.box}, and the zone."
            origins.say("act-lacks", step, sentence, fix, ("act",))
        far = _elsewhere(points, head.box)
        if far:
            sentence = f"{far.name} is in the {far.box}; the step is at the {head.box}."
            fix = "Read it at a step of its own, or say the right box."
            origins.say_key("wrong-place", step, sentence, fix, ("readings", spec.name))
    if zones and head.zone and not head.zone.startswith(THE):
        _zone(origins, LAYOUTS.get(walk.tree.layout), step, head.zone, zones)


def _elsewhere(points: Iterable[Point], box: str) -> Point | None:
    """Return a point that lies in another box; None where the step names none itself."""
    if not box or box.startswith(THE):
        return None
    return next((point for point in points if point.box and point.box != box), None)


def _zone(origins: Origins, layout: Layout | None, step: Step, zone: str, zones: set[str]) -> None:
    """Hold that a step names a zone it reads in: the one of power, where there are both."""
    power = {
        one.name for one in (layout.zones if layout else ()) if one.kind is not ZoneKind.CONTROL
    }
    if zone in zones and (zone in power or not zones & power):
        return
    right = sorted(zones & power or zones)
    sentence = f"It is read in the zone {listed(right)}, and the step says {zone}."
    origins.say_key("wrong-place", step, sentence, f"Write zone: {right[0]}.", ("readings",))


def _places_of(
    origins: Origins, vocabulary: Vocabulary, step: Step, spec: ReadingSpec
) -> Iterator[Point]:
    for word in spec.points:
        names = {one for by in vocabulary.sets.get(word, {}).values() for one in by} or {word}
        for name in sorted(names):
            point = vocabulary.points.get(name)
            if point:
                yield point
            elif name != GROUND and not name.startswith(THE):
                _unknown_point(origins, vocabulary, step, spec, name)


def _unknown_point(
    origins: Origins, vocabulary: Vocabulary, step: Step, spec: ReadingSpec, name: str
) -> None:
    """Keep a problem with a point that a parameter brought here; others are found in their file."""
    below = ("readings", spec.name, spec.spread.value)
    written = origins.written(step, below)
    if name in written or (isinstance(written, list) and name in written):
        return
    sentence = f"There is no point or point set {shown(name)}, which is given here."
    known = [*vocabulary.points, *vocabulary.sets]
    origins.say("unknown-point", step, sentence, offer(name, known), below)


# --- trips ----------------------------------------------------------------------------------------


def _trips(origins: Origins, step: Step, head: ActHead) -> None:
    """Hold that whoever switches something on is asked whether it trips."""
    if head.act is not Act.SWITCH_ON:
        return
    outcomes = [one for judgement in judgements_of(step) for one in judgement.answers.values()]
    if not any(outcome.counts_as == "trips" for outcome in outcomes):
        sentence = "What is switched on can trip, and no answer counts as that."
        fix = "Add a choice with counts as: trips."
        below = ("choices",) if outcomes else ()
        origins.say_key("no-trips", step, sentence, fix, below)
