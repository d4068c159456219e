"""``halfsplit new tree``: a tree begun by answering questions, written, and checked at once.

Every line taken is on the disk before the next question is asked: broken off at any place, the
next ``new tree`` goes on there.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO

from engine.cli import places
from engine.cli.check import Problems, check_one
from engine.cli.exits import Exit
from engine.cli.parsing import Parser, UsageError
from engine.cli.plain import Ask, asker
from engine.cli.width import say
from engine.job import disk
from engine.job.chain import JobError
from engine.loader.editor_schema import editor_files
from engine.loader.heads import heads
from engine.loader.loading import Loader
from engine.loader.shelves import CASES, ENDING, shelves
from engine.problems import Severity
from engine.starter import (
    Beginning,
    Interview,
    Line,
    Question,
    WordsKnown,
    case_text,
    from_text,
    to_text,
    tree_text,
)

USAGE = "halfsplit new tree [--answers FILE] [--json]"
TREES, SCHEMAS = "trees", "schemas"
BEGUN = "new-tree.txt"
"""The lines of an interview that is not at its end, in the home."""
ANSWERS = ".answers.txt"
"""The lines that a tree was begun with, beside it."""
SCHEMA_OF_TREES = f"../{SCHEMAS}/tree.json"
TAKE_BACK = "u"
_LEAVES = "Every line is kept at once. u takes the last one back; ctrl+d or ctrl+c leaves for now."


def run(arguments: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Run the command and return its exit code."""
    parser = Parser(
        prog="halfsplit new",
        usage=USAGE,
        description="Asks for causes first, then one way to tell each; writes a tree with cases.",
    )
    parser.add_argument("what", metavar="tree", choices=("tree",), help="what to begin")
    parser.add_argument("--answers", metavar="FILE", help="answers from a file; nothing is asked")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    home = places.home()
    try:
        given = parser.parse_args(arguments)
        if given.answers:
            done = _from_file(Path(given.answers), _known(home))
        else:
            done = _asked(home, asker(err, sys.stdin), err)
        return _written(done, home, out, err, as_json=given.json)
    except UsageError as error:
        (out if error.code is Exit.FINE else err).write(f"{error}\n")
        return error.code
    except (EOFError, KeyboardInterrupt):
        say(err, ["", "Left for now; every line is kept. halfsplit new tree goes on with it."])
        return Exit.STOPPED
    except JobError as error:
        err.write(f"{error}\n")
        return Exit.PROBLEMS


def _known(home: Path) -> WordsKnown:
    """Return the words that all trees share, and every name that a new tree cannot have."""
    where = shelves(home)
    files = {found.stem for found in where.trees()}
    return WordsKnown(Loader(where).vocabulary(), files | {head.name for head in heads(home)})


# --- answers --------------------------------------------------------------------------------------


def _from_file(path: Path, known: WordsKnown) -> Interview:
    try:
        lines = from_text(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError) as error:
        reason = disk.reason(error) if isinstance(error, OSError) else "it is not UTF-8 text"
        raise JobError(f"{path} can't be read: {reason}.") from error
    interview = Interview.begun(known, lines)
    question = interview.question
    if question is None:
        if interview.left_over:
            raise JobError(
                f"'{interview.left_over[0]}' answers nothing: every question is answered."
            )
        return interview
    at = f"after {len(interview.lines)} answers: {question.words}"
    if question.refused:
        raise JobError(f"'{interview.left_over[0]}' is not taken, {at} {question.refused}")
    raise JobError(f"An answer is missing {at}")


def _asked(home: Path, ask: Ask, err: TextIO) -> Interview:
    """Ask line by line, each kept at once; raises EOFError where it is left."""
    interview = _gone_on_with(home, ask, err)
    say(err, [_LEAVES])
    while interview.question:
        _show(interview.question, err)
        text = ask("")
        back = text.strip() == TAKE_BACK
        interview = interview.taken_back() if back else interview.entered(text)
        disk.write(home / BEGUN, to_text(interview.lines).encode("utf-8"))
    return interview


def _show(question: Question, err: TextIO) -> None:
    if question.refused:
        say(err, [f"  {question.refused}"])
    lines = [question.words, question.hint]
    lines += [f"  {number} {words}" for number, words in enumerate(question.choices, 1)]
    if question.enter:
        lines.append(f"Enter = {question.enter}")
    say(err, ["", *(line for line in lines if line)])


def _gone_on_with(home: Path, ask: Ask, err: TextIO) -> Interview:
    """Return the interview that was left, if it is to be gone on with, or a new one."""
    known = _known(home)
    try:
        lines = from_text((home / BEGUN).read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError):
        lines = ()
    if not lines:
        return Interview.begun(known)
    left = Interview.begun(known, lines)
    say(err, [f"A tree was begun: {left.lines[0].text if left.lines else lines[0]}."])
    while (said := ask("Go on with it? 1 yes 2 no").strip().casefold()) not in _YES_OR_NO:
        say(err, ["  1 yes, 2 no."])
    if _YES_OR_NO[said]:
        if left.left_over:
            say(err, [f"'{left.left_over[0]}' and what came after it no longer answers."])
            _put_aside(left, home, err)
        return left
    _put_aside(left, home, err)
    return Interview.begun(known)


def _put_aside(left: Interview, home: Path, err: TextIO) -> None:
    """Keep every line of an interview that is not gone on with as it stands."""
    aside = _free(home, "new-tree-left")
    unasked = (Line("No longer asked", text) for text in left.left_over)
    disk.write(aside, to_text((*left.lines, *unasked)).encode("utf-8"))
    say(err, [f"Every line is kept in {aside}."])


_YES_OR_NO: Mapping[str, bool] = {"1": True, "yes": True, "2": False, "no": False}


def _free(home: Path, stem: str) -> Path:
    number, path = 1, home / f"{stem}.txt"
    while path.exists():
        number += 1
        path = home / f"{stem}-{number}.txt"
    return path


# --- the tree -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Files:
    tree: Path
    cases: Path
    answers: Path


def _written(done: Interview, home: Path, out: TextIO, err: TextIO, *, as_json: bool) -> Exit:
    """Write the tree, its cases and the answers; check it and say what it came to."""
    assert done.beginning is not None
    files = _write(done.beginning, done, home)
    problems: Problems = {}
    trees: list[dict[str, object]] = []
    check_one(str(files.tree), home, problems, trees)
    (home / BEGUN).unlink(missing_ok=True)
    wrong = [one for one in sorted(problems) if one.severity is not Severity.NOTE]
    if as_json:
        answer = {
            "tree": done.beginning.name,
            "path": str(files.tree),
            "cases": str(files.cases),
            "answers": str(files.answers),
            "problems": [str(one) for one in wrong],
        }
        out.write(json.dumps(answer, ensure_ascii=False) + "\n")
    else:
        say(out, _told(done.beginning, files, [str(one) for one in wrong]))
    return Exit.PROBLEMS if wrong else Exit.FINE


def _write(beginning: Beginning, done: Interview, home: Path) -> _Files:
    vocabulary = done.known.vocabulary
    shelf = home / TREES
    files = _Files(*(shelf / f"{beginning.name}{ending}" for ending in (ENDING, CASES, ANSWERS)))
    write_schemas(home)
    disk.write(files.answers, to_text(done.lines).encode("utf-8"))
    disk.write(files.cases, case_text(beginning, vocabulary).encode("utf-8"))
    disk.write(files.tree, tree_text(beginning, vocabulary, SCHEMA_OF_TREES).encode("utf-8"))
    return files


def write_schemas(home: Path) -> None:
    """Put the schemas that an editor helps with beside the shop's trees, as they are now."""
    for name, text in editor_files().items():
        disk.write(home / SCHEMAS / name, text.encode("utf-8"))


def _told(beginning: Beginning, files: _Files, wrong: Iterable[str]) -> list[str]:
    found = list(wrong)
    checked = "Checked: no problems." if not found else "Checked; to be mended:"
    return [
        "",
        f"{beginning.title}: {files.tree}",
        f"its cases: {files.cases}",
        checked,
        *found,
        "",
        f"halfsplit author {beginning.name} shows what each change of the file comes to.",
        f"halfsplit walk {beginning.name} --plain walks it.",
    ]
