"""The lines of a record: what a hash is of, what is whole, what is torn, what was changed."""

from __future__ import annotations

import hashlib
import json

import pytest

from engine.job.chain import BEGINNING, JobError, canonical, read_lines, sealed, unsound


def record(*contents: dict[str, object]) -> bytes:
    """Return a record of these lines."""
    before, lines = BEGINNING, []
    for content in contents:
        line, before = sealed(before, content)
        lines.append(line)
    return b"".join(lines)


THREE = record({"n": 1}, {"n": 2, "typed": "24 °C"}, {"n": 3})


def test_a_hash_can_be_worked_out_by_anybody_with_sha256_and_json() -> None:
    # FIPS 180-4 through hashlib; the JSON text as RFC 8785 would have it for texts and integers.
    first, second = THREE.splitlines()[:2]
    before = json.loads(first)["hash"]
    assert before == hashlib.sha256(b"0" * 64 + b'{"n":1}').hexdigest()
    own = json.loads(second)["hash"]
    text = '{"n":2,"typed":"24 °C"}'.encode()
    assert own == hashlib.sha256(before.encode() + text).hexdigest()


def test_what_was_written_is_read_and_is_sound() -> None:
    lines = read_lines(THREE)
    assert [line.content for line in lines.whole] == [
        {"n": 1},
        {"n": 2, "typed": "24 °C"},
        {"n": 3},
    ]
    assert list(unsound(lines)) == []
    assert (lines.torn, lines.newline, lines.end) == (b"", True, len(THREE))


def test_a_last_line_without_its_newline_counts() -> None:
    lines = read_lines(THREE[:-1])
    assert len(lines.whole) == 3
    assert not lines.newline
    assert list(unsound(lines)) == []


@pytest.mark.parametrize(
    "rest",
    [b'{"n":4', b"\0\0\0\0", b"\xc2", b"not json\n", b"[1]\n", b"4\n", b"a\nb\nc", b"[" * 90_000],
)
def test_what_can_not_be_read_at_the_end_is_torn(rest: bytes) -> None:
    lines = read_lines(THREE + rest)
    assert len(lines.whole) == 3
    assert lines.torn == rest.strip()
    assert lines.end == len(THREE)
    assert list(unsound(lines)) == []


def test_an_empty_record_has_no_lines() -> None:
    assert read_lines(b"").whole == ()
    assert read_lines(b"\n\n").whole == ()


def test_a_line_in_the_middle_that_can_not_be_read_is_told() -> None:
    first, second, third = THREE.splitlines(keepends=True)
    lines = read_lines(first + b"garbage\n" + third)
    assert [line.number for line in lines.whole] == [1, 3]
    assert list(unsound(lines)) == [
        "Line 2 can't be read.",
        "Line 3 is not as it was written, or a line before it is missing.",
    ]
    assert read_lines(first + b"\n" + second).unreadable == (2,)


def test_a_changed_a_dropped_and_an_exchanged_line_show() -> None:
    first, second, third = THREE.splitlines(keepends=True)
    changed = first + second.replace(b"24", b"27") + third
    assert next(unsound(read_lines(changed))).startswith("Line 2 is not as it was written")
    assert next(unsound(read_lines(first + third))).startswith("Line 2 ")
    assert next(unsound(read_lines(first + third + second))).startswith("Line 2 ")


def test_more_space_or_a_name_given_twice_shows_though_it_means_the_same() -> None:
    first, second, third = THREE.splitlines(keepends=True)
    assert list(unsound(read_lines(first + second.replace(b",", b", ") + third)))
    twice = second.replace(b'{"', b'{"n":9,"')
    assert json.loads(twice)["n"] == 2
    assert list(unsound(read_lines(first + twice + third)))


def test_line_endings_of_another_system_show_and_lose_nothing() -> None:
    lines = read_lines(THREE.replace(b"\n", b"\r\n"))
    assert len(lines.whole) == 3
    assert len(list(unsound(lines))) == 3


@pytest.mark.parametrize("said", [2, "1", 0, None, [1], "9" * 5000])
def test_another_format_is_refused_in_a_sentence(said: object) -> None:
    with pytest.raises(JobError, match="this version knows 1") as error:
        read_lines(record({"n": 1}, {"format": said, "n": 2}))
    assert str(error.value).startswith("Line 2 of this record has format ")
    assert len(str(error.value)) < 200


def test_half_a_character_becomes_a_question_mark() -> None:
    assert canonical({"typed": "a\udce4b"}) == b'{"typed":"a?b"}'
