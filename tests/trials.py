"""The README's table of trials, made by trying them: ``python -m tests.trials``.

Every shipped tree is tried on every shipped unit, each fault that shows the complaint in a hundred
variations; some minutes of work. Followed by ``--check`` the command changes nothing and fails
where the table is no longer what comes of it.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

from engine.loader.library import heads, load
from engine.loader.units import load_unit, unit_names
from engine.tree import WalkTree
from engine.trial.belonging import belongs
from engine.trial.handing import rows_of
from engine.trial.result import By, Result, Trial
from engine.trial.trying import try_tree
from engine.unit.unit import Unit

README = Path(__file__).parent.parent / "README.md"
SAMPLES, SEED = 100, 1
BEGIN, END = "<!-- trials -->\n", "<!-- end of trials -->\n"
HEAD = (
    "| tree | unit | faults that show it | found right | by the circuit | wrong as made | unsafe | "
    "minutes | best known |\n|---|---|---|---|---|---|---|---|---|\n"
)
ROW = re.compile(r"^\| `(?P<tree>\S+)` \| `(?P<unit>\S+)` \| (?P<faults>\d+) \|", re.MULTILINE)


def both() -> Iterator[tuple[WalkTree, Unit]]:
    """Yield every shipped tree with every shipped unit of its layout."""
    for head in heads():
        walk = load(head.name).walk
        assert walk is not None
        for name in sorted(unit_names()):
            unit = load_unit(name).unit
            assert unit is not None
            if unit.layout == walk.tree.layout:
                yield walk, unit


def tried(walk: WalkTree, unit: Unit) -> Trial:
    """Return what a tree comes to on a unit."""
    trial, _ = try_tree(walk, unit, rows_of(unit, belongs(walk, unit), SAMPLES), SEED)
    return trial


def row(trial: Trial) -> str:
    """Return the table's row of a trial."""
    right = [one for one in trial.faults if one.result in (Result.ISOLATED, Result.GROUP)]
    solved = [one for one in right if one.by is By.SOLVED]
    totals = trial.totals
    assert totals.best_minutes is not None
    share = 100 * len(right) / len(trial.faults)
    return (
        f"| `{trial.tree}` | `{trial.unit}` | {len(trial.faults)} | {share:.3g} % | {len(solved)} "
        f"| {100 * totals.wrong:.2g} % | {totals.unsafe} | {totals.minutes:.0f} "
        f"| {totals.best_minutes:.0f} |\n"
    )


def tabled(text: str) -> tuple[str, str, str]:
    """Return a README before its table, the table, and what is behind it."""
    before, rest = text.split(BEGIN)
    table, after = rest.split(END)
    return before + BEGIN, table, END + after


def main(arguments: Sequence[str]) -> int:
    """Make the table and write it, or hold it against what stands there."""
    before, table, after = tabled(README.read_text(encoding="utf-8"))
    made = HEAD + "".join(row(tried(walk, unit)) for walk, unit in both())
    if "--check" in arguments:
        return int(made != table)
    README.write_text(f"{before}{made}{after}", encoding="utf-8", newline="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
