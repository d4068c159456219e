"""``halfsplit check``: everything that is wrong with trees, procedures, cases and readings."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TextIO

from engine.cli import places, proofs
from engine.cli.exits import Exit
from engine.cli.parsing import Parser, UsageError
from engine.cli.width import say
from engine.codes import problem
from engine.guide.casework import problems_of
from engine.loader.heads import head_of, heads
from engine.loader.library import cases_of, check, load
from engine.loader.shelves import Found
from engine.problems import Problem, Severity, Span
from engine.tree import WalkTree
from engine.verify.proof import Proof
from engine.verify.proving import prove

PROOF = "proof"
"""The key under which a tree's summary keeps its proof; it is told in words or as data."""

VERB = "verb-of-another-act"

Problems = dict[Problem, None]
"""What was found, each once, in the order of finding."""

USAGE = """halfsplit check [PATH | TREE ...] [--json]
       halfsplit check --diff OLD NEW [--json]   what a revision changes for who walks it
       halfsplit check --fix FILE ... [--json]   what is certain to be mended, in a new file
       halfsplit check --mutate TREE [--all] [--seed N] [--json]   whether its cases are any good"""


def run(arguments: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Run the command and return its exit code: 1 where anything but a note was found."""
    parser = Parser(
        prog="halfsplit check",
        usage=USAGE,
        description="Without a PATH, every tree there is: your own and the shipped ones.",
    )
    parser.add_argument("targets", nargs="*", metavar="PATH", help="a file, a folder, a tree's id")
    parser.add_argument("--diff", nargs=2, metavar=("OLD", "NEW"), help="compare two trees")
    parser.add_argument("--fix", action="store_true", help="mend what is certain, in a new file")
    parser.add_argument("--mutate", metavar="TREE", help="try slips on a tree: who notices?")
    parser.add_argument("--all", action="store_true", help="try every slip, a minute of work")
    parser.add_argument("--seed", type=int, default=1, help="which slips are drawn without --all")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    try:
        given = parser.parse_args(arguments)
    except UsageError as error:
        (out if error.code is Exit.FINE else err).write(f"{error}\n")
        return error.code
    if given.diff:
        # Imported here: every other check does without it.
        from engine.cli.diff import run_diff

        old, new = given.diff
        return run_diff(old, new, out, err, as_json=given.json)
    if given.fix:
        from engine.cli.mend import run_fix

        return run_fix(given.targets, out, err, as_json=given.json)
    if given.mutate:
        # Imported here, too.
        from engine.cli.mutate import run_mutate

        return run_mutate(
            given.mutate, out, err, seed=given.seed, everything=given.all, as_json=given.json
        )
    problems: Problems = {}
    trees: list[dict[str, object]] = []
    home = places.home()
    for target, where in [(one, home) for one in given.targets] or _every_tree(home):
        if err.isatty():
            err.write(f"{target}: every walk, then every case\n")
        check_one(target, where, problems, trees)
    found = sorted(problems)
    if given.json:
        told = [{name: one[name] for name in one if name != PROOF} for one in trees]
        answer = {"problems": [_json(one) for one in found], "trees": told}
        out.write(json.dumps(answer, ensure_ascii=False) + "\n")
    else:
        _say(found, trees, out)
    return Exit.PROBLEMS if any(one.severity is not Severity.NOTE for one in found) else Exit.FINE


def _every_tree(home: Path) -> Iterator[tuple[str, Path | None]]:
    """Yield every tree and where to look for it: a shipped one beside the shop's of that name."""
    for head in heads(home):
        yield head.name, None if head.shipped else home


def check_one(
    target: str, home: Path | None, problems: Problems, trees: list[dict[str, object]]
) -> None:
    """Put every problem of a target, and of each tree in it a summary, to those already found."""
    path = Path(target)
    if path.is_dir():
        files = sorted(path.rglob("*.yaml"))
        if not files:
            sentence = "No file in this folder ends in .yaml."
            none = problem("no-tree", Span(target), sentence, "Name the folder of the trees.")
            problems[none] = None
        for file in files:
            check_one(str(file), home, problems, trees)
        return
    if path.is_file() and head_of(Found.at(path)) is None:
        problems |= dict.fromkeys(check(path, home))
        return
    loaded = load(target, home)
    problems |= dict.fromkeys(loaded.problems)
    if loaded.walk is None:
        return
    cases, wrong = cases_of(target, home, loaded.walk)
    problems |= dict.fromkeys(wrong)
    if not any(one.severity is Severity.STOPS for one in loaded.problems):
        problems |= dict.fromkeys(problems_of(loaded.walk, cases))
    proof = prove(loaded.walk, loaded.problems)
    problems |= dict.fromkeys(proof.problems)
    trees.append(_summary(loaded.walk, len(cases.cases) if cases else 0, proof))


def _summary(walk: WalkTree, cases: int, proof: Proof) -> dict[str, object]:
    return {
        "tree": walk.tree.name,
        "steps": len(walk.tree.steps),
        "findings": len(walk.tree.findings),
        "suspects": len(walk.tree.suspects),
        "cases": cases,
        **proofs.as_data(proof),
        PROOF: proof,
    }


def _json(problem: Problem) -> dict[str, object]:
    return {
        "path": problem.span.path,
        "line": problem.span.line,
        "column": problem.span.column,
        "code": problem.code,
        "severity": str(problem.severity),
        "sentence": problem.sentence,
        "fix": problem.fix,
    }


def _say(problems: Sequence[Problem], trees: Iterable[dict[str, object]], out: TextIO) -> None:
    for one in problems:
        _lines(out, _one(one, out))
        if one.code == VERB:
            from engine.cli.mend import steps_shown

            out.writelines(f"    {line}\n" for line in steps_shown(one))
    for tree in trees:
        proof = tree[PROOF]
        assert isinstance(proof, Proof)
        head = (
            f"{tree['tree']}: {tree['steps']} steps, {tree['findings']} findings, "
            f"{tree['suspects']} suspects, {tree['cases']} cases"
        )
        _lines(out, [head, *proofs.in_words(proof)])
    count = len(problems)
    out.write("No problems.\n" if not count else f"{count} problem{'s' * (count != 1)}.\n")


def _one(problem: Problem, out: TextIO) -> list[str]:
    """Return a problem as one line, or on a terminal as its place and what is below it."""
    if not out.isatty():
        return [str(problem)]
    below = [f"  {text}" for text in (problem.sentence, problem.fix) if text]
    return [f"{problem.span} {problem.code}", *below]


def _lines(out: TextIO, lines: Iterable[str]) -> None:
    """Write lines as they are, or on a terminal folded to its width."""
    if out.isatty():
        say(out, lines)
    else:
        out.writelines(f"{line}\n" for line in lines)
