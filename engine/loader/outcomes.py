"""What a trial of a tree showed, as it is kept beside the tree: ``<complaint>.outcomes.json``.

Owns `Outcomes`, its file, and the refusal of one that is old: a table holds for the tree and the
unit that it was made with, told by their hashes, and for no other.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from engine.matrix import Shows

ENDING = ".outcomes.json"
FORMAT = 1

Counts = Mapping[str, Mapping[str, Mapping[str, int]]]
"""Step → suspect → verdict → rows."""


class OutcomesError(ValueError):
    """Why a table of outcomes is not used, and what to do about it, in whole sentences."""


@dataclass(frozen=True, slots=True)
class OfUnit:
    """What the steps of a tree showed on one unit."""

    digest: str
    """SHA-256 of the unit's files."""
    samples: int
    seed: int
    steps: Counts


@dataclass(frozen=True, slots=True)
class Outcomes:
    """What the steps of one tree showed, by unit."""

    tree: str
    digest: str
    """SHA-256 of the tree's files, its procedures and words included."""
    units: Mapping[str, OfUnit]

    def joined(self, unit: str, made: OfUnit) -> Outcomes:
        """Return the table with that of one unit put in, or exchanged."""
        return Outcomes(self.tree, self.digest, {**self.units, unit: made})

    def odds(self) -> Mapping[str, Shows]:
        """Return how likely each verdict is: step → suspect → verdict, all units together."""
        return pooled(one.steps for one in self.units.values())


def pooled(tables: Iterable[Counts]) -> Mapping[str, Shows]:
    """Return tables of counts as odds: step → suspect → verdict → how likely."""
    whole: dict[str, dict[str, Counter[str]]] = {}
    for table in tables:
        for step, by in table.items():
            for suspect, counts in by.items():
                whole.setdefault(step, {}).setdefault(suspect, Counter()).update(counts)
    return {
        step: {suspect: _odds(counts) for suspect, counts in by.items()}
        for step, by in whole.items()
    }


def _odds(counts: Mapping[str, int]) -> dict[str, float]:
    rows = sum(counts.values())
    return {verdict: count / rows for verdict, count in counts.items() if count}


# --- the file -------------------------------------------------------------------------------------


def write_outcomes(path: Path, outcomes: Outcomes) -> None:
    """Write a table; raises OSError."""
    data = {
        "format": FORMAT,
        "outcomes of": outcomes.tree,
        "tree hash": outcomes.digest,
        "units": {
            name: {
                "unit hash": one.digest,
                "samples": one.samples,
                "seed": one.seed,
                "steps": one.steps,
            }
            for name, one in sorted(outcomes.units.items())
        },
    }
    text = json.dumps(data, ensure_ascii=False, indent=1)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(f"{text}\n", encoding="utf-8", newline="\n")


def read_outcomes(path: Path) -> Outcomes:
    """Return a table as written; raises OutcomesError for a file that holds none."""
    try:
        return _outcomes(json.loads(path.read_text(encoding="utf-8")))
    except OSError as error:
        reason = error.strerror or "it cannot be read"
        raise OutcomesError(f"{path} can't be opened: {reason}.") from error
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        sentence = f"{path} is no table of outcomes. halfsplit trial --save writes one."
        raise OutcomesError(sentence) from error


def _outcomes(data: Any) -> Outcomes:
    if data["format"] != FORMAT:
        raise ValueError(data["format"])
    units = {
        str(name): OfUnit(
            str(one["unit hash"]), int(one["samples"]), int(one["seed"]), _counts(one["steps"])
        )
        for name, one in data["units"].items()
    }
    return Outcomes(str(data["outcomes of"]), str(data["tree hash"]), units)


def _counts(data: Any) -> Counts:
    return {
        str(step): {
            str(suspect): {str(verdict): _rows(count) for verdict, count in counts.items()}
            for suspect, counts in by.items()
        }
        for step, by in data.items()
    }


def _rows(count: Any) -> int:
    if not isinstance(count, int) or isinstance(count, bool) or count < 0:
        raise ValueError(count)
    return count


# --- an old one -----------------------------------------------------------------------------------


def hold(path: Path, outcomes: Outcomes, digest: str, unit_digest: Callable[[str], str]) -> None:
    """Raise OutcomesError where a table was made with another tree, or another unit, than now.

    ``digest`` is the tree's now; ``unit_digest`` gives a unit's, empty for one that is not there.
    """
    name = outcomes.tree
    again = f"Try it again: halfsplit trial {name} --save, with --unit as before."
    if outcomes.digest != digest:
        raise OutcomesError(f"{path.name} was made before {name} was changed. {again}")
    for unit, one in outcomes.units.items():
        now = unit_digest(unit)
        if not now:
            raise OutcomesError(f"{path.name} was made on {unit}, which is not there. {again}")
        if now != one.digest:
            raise OutcomesError(f"{path.name} was made before {unit} was changed. {again}")
