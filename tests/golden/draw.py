"""Golden drawings of a small tree. ``python -m tests.golden.draw`` writes them, to be reviewed."""

from __future__ import annotations

from pathlib import Path

from engine.drawing.sheet_making import sheet_of
from engine.drawing.sheet_page import as_html
from engine.drawing.svg import drawing
from engine.drawing.titles import procedure_titles
from tests.engine.drawing.drawn import charted, loaded, walk_of

HERE = Path(__file__).resolve().parent
TREE = "fan-stopped"
GOLDEN = (f"{TREE}.svg", f"{TREE}.sheet.html")
DATE = "2026-03-14"


def drawings() -> dict[str, bytes]:
    """Return what each golden file should hold."""
    titles = procedure_titles(loaded(TREE).files)
    made = (drawing(charted(TREE)), as_html(sheet_of(walk_of(TREE), titles), DATE))
    return {name: text.encode("utf-8") for name, text in zip(GOLDEN, made, strict=True)}


if __name__ == "__main__":
    for name, raw in drawings().items():
        (HERE / name).write_bytes(raw)
