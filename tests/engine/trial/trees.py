"""The shipped trees and units, loaded once for the tests of trials."""

from __future__ import annotations

from functools import cache

from engine.loader.library import load
from engine.loader.units import load_unit
from engine.tree import WalkTree
from engine.unit.unit import Unit

HIGH_LEG, WYE = "3-ton-high-leg", "7-5-ton-208y"


@cache
def unit(name: str) -> Unit:
    """Return a shipped unit."""
    found = load_unit(name).unit
    assert found is not None
    return found


@cache
def tree(name: str) -> WalkTree:
    """Return a shipped tree."""
    found = load(name).walk
    assert found is not None
    return found
