"""How long a tree takes from its text to a walk, against the plain YAML parser; hostile files."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import yaml

from engine.loader.library import check, load
from engine.loader.parse import LONGEST_TEXT
from engine.loader.text import LARGEST_FILE, MOST_ENTRIES, read
from tests.bench.__main__ import Measured
from tests.bench.large_tree import tree_text
from tests.bench.timing import call

STEPS, MANY = 1_000, 10_000
TO_DATA, WHOLE, LINEAR, LIMIT = 1.5, 3.0, 1.5, 1.0

_START = b"format: 1\nprocedure: look-around\ntitle: Look around\nsteps:\n  look:\n"
HOSTILE: dict[str, Callable[[], bytes]] = {
    "too large": lambda: b"#" * (LARGEST_FILE + 1),
    "too many": lambda: _START + b"\n" * MOST_ENTRIES,
    "too long": lambda: _START + b"    act: look over\n    why: " + b"x" * (LONGEST_TEXT + 1),
    "too deep": lambda: _START + b"    act: " + b"[" * 100_000,
    "aliases": lambda: b"a: &a [x, x]\nb: &b [*a, *a]\nc: [" + b"*b, " * 100_000 + b"*b]\n",
    "one line": lambda: b"{" * 1_000_000,
    "not text": lambda: bytes(range(256)) * 4_096,
}
"""Files that a loader must say no to within a second."""


def figures() -> Iterator[Measured]:
    """Yield the ratios of loading a tree, and the seconds of the slowest hostile file."""
    raw = tree_text(STEPS).encode("utf-8")
    plain = call(lambda: yaml.load(raw, Loader=yaml.CSafeLoader))
    data = call(lambda: read("large.yaml", raw)) / plain
    yield Measured(f"text to data, {STEPS} steps, over the C parser alone", data, TO_DATA, "times")
    with tempfile.TemporaryDirectory() as folder:
        few, many = (_tree(Path(folder), size) for size in (STEPS, MANY))
        whole = call(lambda: load(str(few)))
        ratio = whole / plain
        yield Measured(f"whole load, {STEPS} steps, over the C parser", ratio, WHOLE, "times")
        grown = call(lambda: load(str(many)), runs=1) / (whole * MANY / STEPS)
        yield Measured(f"load of {MANY} steps, by step, over {STEPS}", grown, LINEAR, "times")
        slowest = max(_seconds(Path(folder), make) for make in HOSTILE.values())
    yield Measured("slowest of the files that are refused", slowest, LIMIT, "s")


def _tree(folder: Path, size: int) -> Path:
    file = folder / f"large-{size}.yaml"
    file.write_text(tree_text(size), encoding="utf-8", newline="\n")
    return file


def _seconds(folder: Path, make: Callable[[], bytes]) -> float:
    file = folder / "hostile.yaml"
    file.write_bytes(make())
    begun = time.perf_counter()
    problems = check(file)
    taken = time.perf_counter() - begun
    assert problems, "a hostile file was taken"
    return taken
