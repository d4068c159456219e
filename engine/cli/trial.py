"""``halfsplit trial TREE --unit UNIT``: a tree tried against every fault of a simulated unit."""

from __future__ import annotations

import argparse
import json
import signal
from collections.abc import Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, ProcessPoolExecutor
from contextlib import contextmanager
from typing import TextIO

from engine.cli import places
from engine.cli.exits import Exit
from engine.cli.parsing import Parser, UsageError
from engine.cli.trial_table import as_data, as_lines
from engine.cli.walk import ready, say_problems
from engine.cli.width import columns
from engine.loader.library import load
from engine.loader.outcomes import OfUnit, Outcomes, OutcomesError, read_outcomes, write_outcomes
from engine.loader.units import load_unit
from engine.suspects.tried import outcomes_path
from engine.tree import WalkTree
from engine.trial.belonging import belongs, cannot_show
from engine.trial.bridge import unmapped
from engine.trial.handing import rows_of
from engine.trial.outcomes import shown_by_step
from engine.trial.result import Trial
from engine.trial.trying import try_tree
from engine.trial.walked import Walked
from engine.unit.unit import Unit

SAMPLES, SEED = 100, 1
USAGE = """halfsplit trial TREE --unit UNIT [--samples N] [--seed N] [--pairs] [--workers N]
                       [--save] [--json]"""
DESCRIPTION = """Every fault of the unit that shows the tree's complaint is walked through the tree,
on the unit as drawn and in N units as made, with meters as good as their class. UNIT is a name or
the path of a file. Exit code 1: a goal was missed."""
BAR = 24
"""Characters of the bar that shows how far it has come."""


def run(arguments: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Run the command and return its exit code."""
    try:
        given = _parser().parse_args(arguments)
        _hold(given)
    except UsageError as error:
        (out if error.code is Exit.FINE else err).write(f"{error}\n")
        return error.code
    found = _both(given, err)
    if found is None:
        return Exit.PROBLEMS
    walk, unit = found
    try:
        trial, walked = _tried(walk, unit, given, err)
    except BrokenExecutor:
        err.write("\nA worker ended before its work was done. Try it with fewer workers.\n")
        return Exit.PROBLEMS
    if given.save and not _save(walk, unit, trial, walked, err):
        return Exit.PROBLEMS
    if given.json:
        out.write(json.dumps(as_data(trial), ensure_ascii=False) + "\n")
    else:
        out.writelines(f"{line}\n" for line in as_lines(trial, columns(out)))
    return Exit.PROBLEMS if trial.missed else Exit.FINE


def _parser() -> Parser:
    parser = Parser(prog="halfsplit trial", usage=USAGE, description=DESCRIPTION)
    parser.add_argument("tree", metavar="TREE", help="a tree's id, or the path of its file")
    parser.add_argument("--unit", required=True, help="a simulated unit, or the path of its file")
    parser.add_argument("--samples", type=int, default=SAMPLES, help="varied units a fault (100)")
    parser.add_argument("--seed", type=int, default=SEED, help="which variations are drawn (1)")
    parser.add_argument("--pairs", action="store_true", help="every two faults together, too")
    parser.add_argument("--workers", type=int, default=1, help="processes that walk (1)")
    parser.add_argument("--save", action="store_true", help="keep what the steps showed")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    return parser


def _hold(given: argparse.Namespace) -> None:
    """Raise UsageError for a number that can't be."""
    for name, least in (("samples", 0), ("seed", 0), ("workers", 1)):
        value = getattr(given, name)
        if value < least:
            raise UsageError(f"--{name} is {value}; it is at least {least}.\nusage: {USAGE}")


def _both(given: argparse.Namespace, err: TextIO) -> tuple[WalkTree, Unit] | None:
    """Return the tree and the unit; None, and all that is wrong said, where they can't be tried."""
    home = places.home()
    walk = ready(load(given.tree, home), err)
    loaded = load_unit(given.unit, home)
    say_problems(loaded.problems, err)
    if walk is None or loaded.unit is None:
        return None
    wrong = _against(walk, loaded.unit)
    err.writelines(f"{sentence}\n" for sentence in wrong)
    return None if wrong else (walk, loaded.unit)


def _against(walk: WalkTree, unit: Unit) -> tuple[str, ...]:
    """Return in sentences why a tree can't be tried on a unit; none where it can."""
    if unit.layout != walk.tree.layout:
        fed = f"{walk.tree.name} is written for the layout {walk.tree.layout}"
        return (f"{fed}, and {unit.name} is fed as {unit.layout}. Take another unit.",)
    if reason := cannot_show(walk, unit):
        return (reason,)
    lacking = unmapped(walk, unit)
    return (f"{walk.tree.name} can't be tried on {unit.name}:", *lacking) if lacking else ()


# --- the work -----------------------------------------------------------------------------------


def _tried(
    walk: WalkTree, unit: Unit, given: argparse.Namespace, err: TextIO
) -> tuple[Trial, list[Walked]]:
    rows = rows_of(unit, belongs(walk, unit), given.samples, pairs=given.pairs)
    watch = _Watch(len(rows), err)
    with _workers(given.workers) as executor:
        return try_tree(walk, unit, rows, given.seed, executor, given.workers, watch.more)


@contextmanager
def _workers(number: int) -> Iterator[Executor | None]:
    """Give an executor for more than one worker; what is not begun when it is left is let go."""
    if number == 1:
        yield None
        return
    executor = ProcessPoolExecutor(number, initializer=_stop_at_once)
    try:
        yield executor
    finally:
        executor.shutdown(wait=True, cancel_futures=True)


def _stop_at_once() -> None:
    """Let Ctrl+C end a worker where it stands, without a word: the first process has the last."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


class _Watch:
    """Tells how many rows are walked: in place on a terminal, else a line for every tenth."""

    def __init__(self, rows: int, err: TextIO) -> None:
        self._rows = rows
        self._err = err
        self._done = 0
        self._told = 0
        self.more(0)

    def more(self, rows: int) -> None:
        """Take note that so many more rows are walked."""
        self._done += rows
        share = self._done / self._rows if self._rows else 1.0
        if self._err.isatty():
            full = round(share * BAR)
            bar = "#" * full + "." * (BAR - full)
            end = "\n" if self._done >= self._rows else ""
            self._err.write(f"\r[{bar}] {round(100 * share):3} %{end}")
        elif int(10 * share) > self._told:
            self._told = int(10 * share)
            self._err.write(f"{self._done} of {self._rows} rows walked\n")
        self._err.flush()


# --- what is kept -------------------------------------------------------------------------------


def _save(walk: WalkTree, unit: Unit, trial: Trial, walked: Sequence[Walked], err: TextIO) -> bool:
    """Keep what the steps showed on this unit; other units' tables stay if the tree is the same."""
    path = outcomes_path(walk, places.home())
    made = OfUnit(unit.digest, trial.samples, trial.seed, shown_by_step(walk, unit, walked))
    try:
        before = read_outcomes(path) if path.is_file() else None
    except OutcomesError:
        before = None  # what can't be read is written anew
    if before is None or before.digest != walk.digest:
        before = Outcomes(walk.tree.name, walk.digest, {})
    try:
        write_outcomes(path, before.joined(unit.name, made))
    except OSError as error:
        err.write(f"{path} can't be written: {error.strerror or 'the disk refuses it'}.\n")
        return False
    err.write(f"What the steps showed is kept in {path}.\n")
    return True
