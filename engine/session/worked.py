"""What a formula gives, worked out once for the same values.

A record is folded from its beginning at every answer, and every fold judges the same readings
again. A formula is a pure function of what it is given and of the trade's tables: what it gave is
remembered, under the editions of a shop's own tables, which may be changed while a walk is on.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from engine import formula as formulas
from engine.formula import Formula, Value
from engine.trade.catalogue import FIGURES
from engine.trade.table import Editions, editions

Given = tuple[tuple[str, Value], ...]


def evaluate(formula: Formula, values: Mapping[str, Value]) -> Value:
    """Return what a formula gives for these values; raises as `engine.formula.evaluate` does."""
    return _evaluated(formula, _given(formula, values), editions())


def words_within(formula: Formula, values: Mapping[str, Value]) -> tuple[str, ...]:
    """Return every word that the answer can be within the readings' doubt, its own first."""
    return _words(formula, _given(formula, values), editions())


def _given(formula: Formula, values: Mapping[str, Value]) -> Given:
    return tuple((name, values[name]) for name in sorted(formula.names()))


@lru_cache(maxsize=4096)
def _evaluated(formula: Formula, given: Given, local: Editions) -> Value:
    return formulas.evaluate(formula, dict(given), FIGURES)


@lru_cache(maxsize=4096)
def _words(formula: Formula, given: Given, local: Editions) -> tuple[str, ...]:
    return formulas.words_within(formula, dict(given), FIGURES)
