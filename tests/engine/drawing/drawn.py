"""Trees to draw, and a drawing read back from its SVG by an XML parser that knows nothing of us."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

from engine.drawing.chart import Chart, chart_of
from engine.drawing.titles import procedure_titles
from engine.loader.library import Loaded, load
from engine.tree import WalkTree

TESTS = Path(__file__).parents[2]
SMALL = (
    TESTS / "data" / "trees" / "hums-and-stops.yaml",
    TESTS / "data" / "shelf" / "fan-stopped.yaml",
)
"""Two small trees; the second has procedures and words of its own beside it."""
SHIPPED = ("blank-thermostat", "unit-trips-breaker")
SVG = "{http://www.w3.org/2000/svg}"


@cache
def loaded(tree: str) -> Loaded:
    """Return a tree by its id; a small one of the tests by its file's name."""
    paths = {path.stem: str(path) for path in SMALL}
    return load(paths.get(tree, tree))


def walk_of(tree: str) -> WalkTree:
    """Return a tree ready to walk."""
    walk = loaded(tree).walk
    assert walk is not None
    return walk


def charted(tree: str) -> Chart:
    """Return a tree as boxes, its procedures by their titles."""
    return chart_of(walk_of(tree), procedure_titles(loaded(tree).files))


@dataclass(frozen=True)
class Box:
    """An outline on the sheet."""

    x: float
    y: float
    wide: float
    high: float


@dataclass(frozen=True)
class Svg:
    """What a drawing holds."""

    texts: tuple[str, ...]
    lines: tuple[tuple[tuple[float, float], ...], ...]
    """The corners of every line between boxes."""
    root: ElementTree.Element


def read_back(svg: str) -> Svg:
    """Return the texts and lines of a drawing; raises ParseError for what is no XML."""
    root = ElementTree.fromstring(svg)
    texts = tuple(one.text or "" for one in root.iter(f"{SVG}text"))
    lines = tuple(
        _corners(one.attrib["d"]) for one in root.iter(f"{SVG}path") if one.get("class") == "l"
    )
    return Svg(texts, lines, root)


def _corners(d: str) -> tuple[tuple[float, float], ...]:
    """Return the points that a path goes through, its bends as the corners they cut."""
    points: list[tuple[float, float]] = []
    for letter, numbers in re.findall(r"([MLQ])([^MLQ]*)", d):
        pairs = [float(one) for one in re.findall(r"-?[0-9.]+", numbers)]
        wanted = pairs[:2] if letter == "Q" else pairs
        points.append((wanted[0], wanted[1]))
    return tuple(points)
