"""The pictures in the README are the screens as they are now, and stand by themselves."""

from __future__ import annotations

import re
from collections import defaultdict
from pathlib import Path
from xml.etree import ElementTree

import pytest

from tests.pictures import HERE, SCENES, SHOWN, Picture, taken
from tests.tui.site import SIZES

README = Path(__file__).parents[2] / "README.md"
SVG = "{http://www.w3.org/2000/svg}"


def read(svg: str) -> tuple[str, ...]:
    """Return what a picture says, a row each: where its letters stand is left to the library."""
    rows: dict[float, list[tuple[float, str]]] = defaultdict(list)
    for one in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        rows[float(one.attrib["y"])].append((float(one.attrib["x"]), one.text or ""))
    said = ["".join(text for _, text in sorted(row)) for _, row in sorted(rows.items())]
    return tuple(re.sub(r"\s+", " ", row).strip() for row in said)


def colours(svg: str) -> set[str]:
    """Return the colours of a picture's text and grounds."""
    return set(re.findall(r"#[0-9a-f]{6}", svg))


@pytest.mark.parametrize("picture", SHOWN, ids=lambda one: one.name)
async def test_a_picture_is_what_the_screen_shows_now(picture: Picture) -> None:
    kept = (HERE / picture.name).read_text(encoding="utf-8")
    now = await taken(picture)
    assert read(now) == read(kept), "python -m tests.pictures makes them anew; look at each"
    assert colours(now) == colours(kept)


async def test_the_same_screen_gives_the_same_bytes() -> None:
    assert await taken(SHOWN[0]) == await taken(SHOWN[0])


@pytest.mark.parametrize("picture", SHOWN, ids=lambda one: one.name)
def test_a_picture_stands_by_itself(picture: Picture) -> None:
    kept = (HERE / picture.name).read_bytes().decode("utf-8")
    assert re.findall(r"[a-z]+://[^\"'\s]+", kept) == ["http://www.w3.org/2000/svg"]
    assert "@font-face" not in kept
    assert "\r" not in kept
    assert ElementTree.fromstring(kept).findtext(f"{SVG}title") == SCENES[picture.scene].title


def test_every_scene_size_and_theme_is_shown() -> None:
    assert {one.scene for one in SHOWN} == set(SCENES)
    assert {one.size for one in SHOWN} == set(SIZES)
    assert {one.theme for one in SHOWN} == {"indoor", "sun"}


def test_the_readme_shows_each_picture_and_no_other() -> None:
    shown = re.findall(r"tests/golden/pictures/([\w-]+\.svg)", README.read_text(encoding="utf-8"))
    assert sorted(shown) == sorted(one.name for one in SHOWN)
    assert sorted(path.name for path in HERE.iterdir()) == sorted(shown)
