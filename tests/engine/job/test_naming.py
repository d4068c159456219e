"""Names that are good on every system."""

from __future__ import annotations

import pytest

from engine.job.naming import is_plain_name, slug


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Elm Street Library", "elm-street-library"),
        ("Bücherei  «Süd»", "bucherei-sud"),
        ("RTU-2 / roof", "rtu-2-roof"),
        ("../..", ""),
        ("図書館", ""),
        ("a" * 39 + "-b", "a" * 39),
    ],
)
def test_a_slug_is_letters_digits_and_hyphens(text: str, name: str) -> None:
    assert slug(text) == name


@pytest.mark.parametrize(
    "name", ["record.jsonl", "photos/003-plate.jpg", "trees/ab12/procedures/lock-out.yaml", "größe"]
)
def test_names_of_a_job_are_plain(name: str) -> None:
    assert is_plain_name(name)


@pytest.mark.parametrize(
    "name",
    [
        "",
        "/etc/passwd",
        "../record.jsonl",
        "a/../../b",
        "a/./b",
        "a//b",
        "a/",
        "C:/Windows/x",
        "c:x",
        "a\\..\\b",
        "\\\\server\\share",
        "nul",
        "photos/COM1.jpg",
        "aux .txt",
        "a.",
        "a ",
        " a",
        "a\0b",
        "a\nb",
        "a\u202eb",
        "stream:ads",
        "what?",
        "a" * 300,
        "a/" * 9 + "a",
    ],
)
def test_names_that_leave_or_that_a_system_reads_in_its_own_way_are_not(name: str) -> None:
    # Windows' rules: "Naming Files, Paths, and Namespaces", Microsoft Learn (from memory).
    assert not is_plain_name(name)
