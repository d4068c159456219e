"""The head of a tree: stages and what follows when one cannot be changed, suspects, findings."""

from __future__ import annotations

from engine.loader.building import Building
from engine.loader.check_names import check_place
from engine.loader.document import Path
from engine.loader.surroundings import Surroundings
from engine.loader.wording import shown
from engine.tree import ANY_STAGE, DONE, Finding, SortHead, Stage, Step, Tree, UseHead


def check_head(here: Surroundings) -> None:
    """Keep a problem for everything in the head of a tree that cannot stand so."""
    tree, file = here.tree, here.file
    if tree is None:
        return
    stuck = tree.steps.get(tree.if_stuck)
    if stuck and not _waits_for_no_stage(tree, stuck):
        sentence = f"{stuck.name} is gone to from everywhere, whatever stage the work is in."
        file.say("stage-not-any", ("if stuck",), sentence, "Give that step stage: any.")
    for stage in tree.stages.values():
        _stage(here, tree, stage)
    for finding in tree.findings.values():
        _finding(here, finding)
    _suspects(here, tree)
    _at_least(here)


# --- stages ---------------------------------------------------------------------------------------


def _stage(here: Surroundings, tree: Tree, stage: Stage) -> None:
    path: Path = ("stages", stage.name)
    _places(here, path, zone=stage.zone, box=stage.box)
    _in_circle(here.file, tree, stage)
    for key, use in (("enter", stage.enter), ("leave", stage.leave)):
        if use:
            _after_failing(here.file, tree, (*path, key, "returns"), use)


def _in_circle(file: Building, tree: Tree, stage: Stage) -> None:
    """Hold that a stage is not entered from itself, or from one that is entered from it."""
    seen = [stage.name]
    while (before := tree.stages.get(seen[-1])) and before.from_:
        if before.from_ == stage.name:
            sentence = f"The stage {stage.name} could only be entered from itself."
            file.say("stage-in-circle", ("stages", stage.name, "from"), sentence, "Take from: out.")
        if before.from_ in seen:
            return
        seen.append(before.from_)


def _after_failing(file: Building, tree: Tree, path: Path, use: UseHead) -> None:
    """Hold that only ``any`` steps follow a change of stage that failed: nobody knows the state."""
    for word, outcome in use.returns.items():
        target = tree.steps.get(outcome.then)
        if word == DONE or (target and _waits_for_no_stage(tree, target)):
            continue
        if target is None and outcome.then and not outcome.then.startswith("go on"):
            continue  # an unknown step is a problem of its own
        sentence = f"After {shown(word)} the change of stage has failed, and this wants another."
        fix = "Lead to a step with stage: any, which takes things as they stand."
        file.say_key("stage-not-any", (*path, word), sentence, fix)


def _waits_for_no_stage(tree: Tree, step: Step) -> bool:
    """Return whether a step is done in any stage; a sort, if everything it leads to is."""
    if not isinstance(step.head, SortHead):
        return step.stage == ANY_STAGE
    targets = [outcome.then for outcome in step.head.judgement.answers.values()]
    steps = [tree.steps.get(target) for target in targets]
    return all(one is not None and one.stage == ANY_STAGE for one in steps)


def _places(here: Surroundings, path: Path, **places: str) -> None:
    for kind, word in places.items():
        if word and here.layout:
            check_place(here.file, (*path, kind), word, kind, here.layout)


# --- findings and suspects ------------------------------------------------------------------------

_NEEDED = {"repair": "repair", "tell_customer": "tell customer", "then": "then"}


def _finding(here: Surroundings, finding: Finding) -> None:
    path: Path = ("findings", finding.name)
    _places(here, path, zone=finding.zone, device=finding.device, box=finding.box)
    if finding.kind:
        return
    for field, key in _NEEDED.items():
        if not getattr(finding, field):
            sentence = f"The finding {finding.name} has no {key}."
            fix = f"Add {key}, or make it kind: noted if it is only for the record."
            here.file.say_key("bare-finding", path, sentence, fix)


def _suspects(here: Surroundings, tree: Tree) -> None:
    found = {finding.suspect for finding in tree.findings.values()}
    for suspect in tree.suspects.values():
        path: Path = ("suspects", suspect.name)
        if suspect.name not in found:
            sentence = f"No finding is about {suspect.name}: it can be suspected and never found."
            here.file.say_key("never-found", path, sentence, "Add a finding with this suspect.")
        if not suspect.title and suspect.name not in here.vocabulary.suspects:
            sentence = f"{suspect.name} has no title, here or in the vocabulary."
            here.file.say_key("no-title", path, sentence, "Add a title of a few words.")


def _at_least(here: Surroundings) -> None:
    """Hold that a field is at least another field of the same kind."""
    assert here.tree is not None
    for field in here.tree.nameplate.values():
        if field.at_least and field.at_least not in here.fields:
            path: Path = ("nameplate", field.name, "at least")
            here.file.unknown("name", field.at_least, here.fields, path)
