"""``halfsplit check``: everything that is wrong with trees, procedures, cases and readings."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TextIO

from engine.cli import places
from engine.cli.exits import Exit
from engine.cli.parsing import Parser, UsageError
from engine.guide.casework import problems_of
from engine.loader.library import cases_of, check, heads, load
from engine.problems import Problem, Severity
from engine.tree import WalkTree

USAGE = """halfsplit check [PATH | TREE ...] [--json]
       halfsplit check --diff OLD NEW [--json]   what a revision changes for who walks it"""


def run(arguments: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Run the command and return its exit code: 1 where anything but a note was found."""
    parser = Parser(
        prog="halfsplit check",
        usage=USAGE,
        description="Without a PATH, every tree there is: your own and the shipped ones.",
    )
    parser.add_argument("targets", nargs="*", metavar="PATH", help="a file, a folder, a tree's id")
    parser.add_argument("--diff", nargs=2, metavar=("OLD", "NEW"), help="compare two trees")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    try:
        given = parser.parse_args(arguments)
    except UsageError as error:
        (out if error.code is Exit.FINE else err).write(f"{error}\n")
        return error.code
    if given.diff:
        # Imported here: every other check does without it.
        from engine.cli.diff import run_diff

        return run_diff(*given.diff, out, err, as_json=given.json)
    problems: dict[Problem, None] = {}
    trees: list[dict[str, object]] = []
    for target in given.targets or _every_tree():
        _check_one(target, problems, trees)
    found = sorted(problems)
    if given.json:
        answer = {"problems": [_json(one) for one in found], "trees": trees}
        out.write(json.dumps(answer, ensure_ascii=False) + "\n")
    else:
        _say(found, trees, out)
    return Exit.PROBLEMS if any(one.severity is not Severity.NOTE for one in found) else Exit.FINE


def _every_tree() -> Iterator[str]:
    for head in heads(places.home()):
        yield head.name


def _check_one(target: str, problems: dict[Problem, None], trees: list[dict[str, object]]) -> None:
    path = Path(target)
    if path.is_dir():
        for file in sorted(path.rglob("*.yaml")):
            _check_one(str(file), problems, trees)
        return
    if path.is_file():
        problems |= dict.fromkeys(check(path, places.home()))
        if not _is_tree(path):
            return
    loaded = load(target, places.home())
    problems |= dict.fromkeys(loaded.problems)
    if loaded.walk is None:
        return
    cases, wrong = cases_of(target, places.home())
    problems |= dict.fromkeys(wrong)
    if not any(one.severity is Severity.STOPS for one in loaded.problems):
        problems |= dict.fromkeys(problems_of(loaded.walk, cases))
    trees.append(_summary(loaded.walk, len(cases.cases) if cases else 0))


def _is_tree(path: Path) -> bool:
    return any(one.path == str(path) for one in heads(path.parent.parent)) or _begins_as_tree(path)


def _begins_as_tree(path: Path) -> bool:
    with path.open(encoding="utf-8", errors="replace") as file:
        lines = [next(file, "") for _ in range(40)]
    keys = [line.split(":")[0].strip("\ufeff") for line in lines if line[:1].isalpha()]
    return next((key for key in keys if key != "format"), "") == "tree"


def _summary(walk: WalkTree, cases: int) -> dict[str, object]:
    return {
        "tree": walk.tree.name,
        "steps": len(walk.tree.steps),
        "findings": len(walk.tree.findings),
        "suspects": len(walk.tree.suspects),
        "cases": cases,
        "properties": {},
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
    for problem in problems:
        out.write(f"{problem}\n")
    for tree in trees:
        out.write(
            f"{tree['tree']}: {tree['steps']} steps, {tree['findings']} findings, "
            f"{tree['suspects']} suspects, {tree['cases']} cases\n"
        )
    count = len(problems)
    out.write("No problems.\n" if not count else f"{count} problem{'s' * (count != 1)}.\n")
