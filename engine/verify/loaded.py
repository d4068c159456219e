"""Properties that the loader has looked at already, by the codes of what it found."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from engine.problems import Problem
from engine.verify.proof import Result


@dataclass(frozen=True, slots=True)
class _Seen:
    """A property, with the codes that refute it and those that leave it open."""

    name: str
    refuting: tuple[str, ...]
    leaving_open: tuple[str, ...] = ()


SEEN = (
    _Seen("cuts rise", ("cuts-cross", "no-range", "bad-band"), ("cuts-not-proved",)),
    _Seen("units agree", ("wrong-kind", "bad-quantity", "no-judge", "no-ol")),
    _Seen(
        "one act a step",
        ("verb-of-another-act", "wrong-act", "act-lacks", "wrong-effect", "counts-too-much"),
    ),
    _Seen("what is switched on can trip", ("no-trips",)),
    _Seen("every suspect has a finding", ("never-found", "unknown-suspect")),
    _Seen("every finding is mended", ("bare-finding",)),
    _Seen("every threshold has a source", ("no-source", "bad-source")),
)


def seen_by_loader(found: Iterable[Problem]) -> Iterator[Result]:
    """Yield what the problems of a loaded tree say of the properties that the loader looks at."""
    by_code: dict[str, list[Problem]] = {}
    for one in found:
        by_code.setdefault(one.code, []).append(one)
    for seen in SEEN:
        problems = tuple(one for code in seen.refuting for one in by_code.get(code, ()))
        open_ = [one.sentence for code in seen.leaving_open for one in by_code.get(code, ())]
        yield Result(seen.name, problems, " ".join(open_))
