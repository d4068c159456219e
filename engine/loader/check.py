"""Everything that a tree or procedure says, held against itself and against what it uses.

Each check is a function of its own module; this one only puts them in order. What only follows
from a name or a shape that is already known to be wrong is left out.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping

from engine.expansion import expand
from engine.loader.building import Building
from engine.loader.check_acts import check_walk_acts
from engine.loader.check_answers import check_answers
from engine.loader.check_complaint import check_complaint
from engine.loader.check_kinds import check_walk_kinds
from engine.loader.check_names import check_names
from engine.loader.check_reach import check_reach, check_ways_on
from engine.loader.check_texts import check_walk_texts
from engine.loader.check_tree import check_head
from engine.loader.check_uses import check_uses
from engine.loader.check_words import check_words
from engine.loader.kinds import KnownNames
from engine.loader.origin import Origins
from engine.loader.surroundings import Surroundings
from engine.problems import Problem, Severity, Span
from engine.tree import (
    ANY_STAGE,
    Given,
    Outcome,
    Procedure,
    Row,
    Status,
    Step,
    Tree,
    UseHead,
    WalkTree,
)
from engine.unit.symptom import Complaint


def check_file(here: Surroundings, shape: Iterable[Problem] = ()) -> None:
    """Keep every problem that can be seen in one file and in what it names.

    ``shape`` is what was found wrong with the writing and the shape of files before.
    """
    file = here.file
    check_names(here)
    with file.apart() as found:
        check_answers(here)
        check_uses(here)
        check_ways_on(file)
        check_words(here)
        check_head(here)
        check_complaint(here)
    file.problems += _sure([file], shape, found)


def check_walk(
    here: Surroundings, shape: Iterable[Problem] = (), digest: str = ""
) -> tuple[WalkTree, tuple[Problem, ...]]:
    """Return a tree (or a procedure by itself) written out, and what that shows to be wrong."""
    tree = here.tree or _around(here.made)
    walk, nested = expand(tree, {**here.used, **_itself(here.made)}, here.vocabulary, digest)
    files = [here.file, *here.used_files.values()]
    origins = Origins(files)
    names = KnownNames(walk)
    check_walk_kinds(walk, names, origins)
    check_walk_texts(walk, names, origins)
    check_walk_acts(walk, origins)
    found = [*nested, *_sure(files, shape, origins.problems)]
    if not any(one.severity is Severity.STOPS for one in (*shape, *here.file.problems, *found)):
        with here.file.apart() as unreached:
            check_reach(walk, here.file)
        found += unreached
    return walk, tuple(found)


def _sure(
    files: Iterable[Building], shape: Iterable[Problem], found: Iterable[Problem]
) -> list[Problem]:
    """Return the problems that do not stand in a step whose shape is already known to be wrong."""
    wrong = [problem.span for problem in shape]
    if not wrong:
        return list(found)
    starts = {
        file.document.path: sorted(step.span.line for step in file.steps.values()) for file in files
    }

    def step_at(span: Span) -> tuple[str, int]:
        return span.path, bisect_right(starts.get(span.path, []), span.line)

    doubtful = {step_at(span) for span in wrong}
    return [one for one in found if step_at(one.span) not in doubtful]


# --- a procedure by itself ------------------------------------------------------------------------


def _itself(made: Tree | Procedure) -> Mapping[str, Procedure]:
    return {made.name: made} if isinstance(made, Procedure) else {}


def _around(made: Tree | Procedure) -> Tree:
    """Return a tree of one step that uses a procedure, with every parameter left standing."""
    assert isinstance(made, Procedure)
    given: dict[str, Given] = {
        name: {"row": Row({})} if kind == "list" else name for name, kind in made.takes.items()
    }
    returns = {word: Outcome(word, then=made.name) for word in made.returns}
    use = Step(made.name, made.title, UseHead(made.name, given, returns), ANY_STAGE)
    return Tree(
        name=made.name,
        title=made.title,
        complaint=Complaint(()),
        revision=1,
        status=Status("draft"),
        layout="",
        if_stuck=made.name,
        nameplate={},
        suspects={},
        lists={},
        stages={},
        start=made.name,
        steps={made.name: use},
        findings={},
    )
