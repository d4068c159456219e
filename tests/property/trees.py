"""Random small trees that have nothing wrong with them, as the text of a file.

Every step can be reached, every answer leads further down, and what is done in a stage is done
with the shipped procedures around it. A tree may have stages, nameplate fields, a list, sorts,
steps like another, conditions and a procedure of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml
from hypothesis import strategies as st

from engine.loader.loading import Loaded, Loader
from engine.loader.shelves import Found, Shelf, Shelves, shelves

Data = dict[str, Any]
Draw = st.DrawFn

DEAD = "unit dead"
LIVE = "unit live"

_HEAD: Data = {
    "format": "1",
    "tree": "random-tree",
    "title": "Unit does not do what it should",
    "complaint": {"said as": ["it does not do what it should"]},
    "revision": "1",
    "status": "draft",
    "layout": "single feed",
    "if stuck": "leave",
}
_FIELDS: Data = {
    "rating": {
        "ask": "Rating on the can",
        "quantity": "capacitance",
        "from": "5 uF",
        "to": "100 uF",
    },
    "cover": {"ask": "What holds the cover", "one of": ["screws", "latches", "nothing"]},
}
_ISOLATE: Data = {
    "the zones": {"unit": {"the zone": "unit", "the points": "contactor line"}},
    "the work zone": "unit",
    "the device": "disconnect",
    "the box": "control box",
}
_STAGES: Data = {
    DEAD: {
        "zone": "unit",
        "box": "control box",
        "enter": {
            "use": "isolate-and-prove-dead",
            "with": _ISOLATE,
            "returns": {"not done": "leave", "not available": "leave", "stop": "withdraw"},
        },
        "leave": {
            "use": "close-and-unlock",
            "with": {"the device": "disconnect", "the box": "control box"},
        },
    },
    LIVE: {
        "zone": "control",
        "box": "control box",
        "enter": {
            "use": "open-the-box",
            "with": {"the box": "control box"},
            "returns": {"not available": "leave"},
        },
        "leave": {"use": "close-up-the-box", "with": {"the box": "control box"}},
    },
}
_LISTS: Data = {
    "loads": {
        "blower": {"the leads": "blower leads", "the name": "blower"},
        "heater": {
            "the leads": "crankcase heater leads",
            "the name": "heater",
            "if": "fitted has crankcase heater",
        },
        "fan": {"the leads": ["outdoor_fan.lead.1", "outdoor_fan.lead.2"], "the name": "fan"},
    }
}
PROCEDURE: Data = {
    "format": "1",
    "procedure": "read-twice",
    "title": "Read twice",
    "takes": {"the least": "quantity", "the name": "text"},
    "returns": ["good", "low"],
    "gives": {"volts": {"from": "first", "reading": "volts"}},
    "steps": {
        "first": {
            "title": "Volts at the {the name}",
            "act": "read live",
            "readings": {
                "volts": {
                    "function": "volts",
                    "between": ["transformer.secondary.R", "transformer.secondary.C"],
                }
            },
            "bands": {
                "below the least": {"counts as": "under 50", "then": "second"},
                "otherwise": {"then": "return good"},
            },
            "cannot": "return low",
            "source": "judgement",
        },
        "second": {
            "like": "first",
            "title": "Volts at the {the name}, {first.volts} before",
            "bands": {
                "below 50 % of first.volts": {"then": "return low"},
                "otherwise": {"then": "return good"},
            },
        },
    },
}


@dataclass(frozen=True)
class Written:
    """A tree as files: itself, and the procedure that is its own."""

    tree: str
    procedures: Mapping[str, str]

    def __str__(self) -> str:
        return self.tree


class Desk:
    """A folder in which drawn trees are written and loaded, the shipped procedures read once."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._written = 0
        self._loader = Loader(Shelves((Shelf(folder), *shelves(None).shelves)))

    def load(self, written: Written) -> Loaded:
        """Load a drawn tree with the procedure that is its own."""
        self._write("procedures", written.procedures)
        self._written += 1
        name = f"tree-{self._written}"
        self._write("", {name: written.tree})
        return self._loader.load(Found.at(self._folder / f"{name}.yaml"))

    def _write(self, place: str, files: Mapping[str, str]) -> None:
        (self._folder / place).mkdir(exist_ok=True)
        for name, text in files.items():
            (self._folder / place / f"{name}.yaml").write_text(text, encoding="utf-8")


def text_of(data: Data) -> str:
    """Return data as the text of a file."""
    return yaml.safe_dump(data, sort_keys=False, allow_unicode=True, width=200)


@dataclass(frozen=True)
class _Around:
    """What a step being drawn may lead to and look back on."""

    before: Data
    later: list[str]
    """Steps below; the first of them is always led to."""
    findings: list[str]

    @property
    def next(self) -> str:
        """The step below."""
        return self.later[0]

    def of_kind(self, *acts: str) -> list[str]:
        """Return the steps above that have one of these acts."""
        return [name for name, step in self.before.items() if step.get("act") in acts]


@st.composite
def trees(draw: Draw, most: int = 6) -> Written:
    """Draw a tree of at most so many steps, besides those that end it."""
    kinds = draw(st.lists(st.sampled_from(sorted(_KINDS)), min_size=1, max_size=most))
    findings = [f"cause-{at}" for at in range(draw(st.integers(1, 3)))]
    names = [f"step-{at}" for at in range(len(kinds))]
    steps: Data = {}
    for at, kind in enumerate(kinds):
        later = [*names[at + 1 :], "found", "leave"]
        steps[names[at]] = _KINDS[kind](draw, _Around(steps, later, findings))
    steps |= _last_steps(findings)
    return Written(text_of(_whole(steps, findings)), {"read-twice": text_of(PROCEDURE)})


def _last_steps(findings: list[str]) -> Data:
    found = {finding: {"finds": finding} for finding in findings}
    leave = {"use": "make-safe-and-leave", "with": {"the device": "disconnect"}}
    return {
        "found": {"title": "What was found", "act": "ask", "choices": found},
        "leave": {"stage": "any", **leave},
        "withdraw": {"stage": "any", "use": "withdraw"},
    }


def _whole(steps: Data, findings: list[str]) -> Data:
    return {
        **_HEAD,
        "nameplate": _FIELDS,
        "suspects": {name: {"title": f"Suspect {name}", "weight": "1 of 10"} for name in findings},
        "lists": _LISTS,
        "stages": _STAGES,
        "start": "step-0",
        "steps": steps,
        "findings": {
            name: {
                "suspect": name,
                "stage": DEAD,
                "repair": "A new part of the same rating.",
                "tell customer": "A part had failed.",
                "then": "leave",
            }
            for name in findings
        },
    }


# --- one step -------------------------------------------------------------------------------------


def _outcome(draw: Draw, around: _Around) -> Any:
    """Draw what follows from an answer that need not lead to the step below."""
    target = draw(st.sampled_from(around.later))
    finding = draw(st.sampled_from(around.findings))
    return draw(
        st.sampled_from(
            [
                target,
                {"then": target, "clears": [finding], "means": "It is not that."},
                {"finds": finding, "if still wrong": target},
                {"finds": finding, "points to": [finding]},
            ]
        )
    )


def _answers(draw: Draw, around: _Around, words: list[str]) -> Data:
    """Draw an outcome for each word, the first leading to the step below."""
    rest = {word: _outcome(draw, around) for word in words[1:]}
    return {words[0]: around.next, **rest}


def _asked(draw: Draw, around: _Around) -> Data:
    words = draw(st.sampled_from([["it runs", "it hums"], ["lit", "dark", "dim"], ["yes", "no"]]))
    return {
        "title": "What was seen",
        "act": "ask",
        "do": "Ask what was seen.",
        "choices": _answers(draw, around, words),
    }


def _passed_over(draw: Draw, around: _Around) -> Data:
    step = _asked(draw, around)
    return {"if": "cover is screws", "if not": draw(st.sampled_from(around.later)), **step}


def _done(draw: Draw, around: _Around) -> Data:
    return {"title": "People and tools clear", "act": "all clear", "minutes": "1"}


_NUMBERS = st.lists(st.integers(1, 500), min_size=1, max_size=3, unique=True).map(sorted)


def _cuts(draw: Draw, unit: str) -> list[str]:
    words = st.sampled_from(["below", "up to"])
    return [f"{draw(words)} {number} {unit}" for number in draw(_NUMBERS)]


def _read_dead(draw: Draw, around: _Around) -> Data:
    keys = [*_cuts(draw, "ohm"), "otherwise", *draw(st.sampled_from([[], ["OL"]]))]
    leads = draw(st.sampled_from(["contactor load", "compressor leads"]))
    return {
        "title": "Ohms between the legs",
        "stage": DEAD,
        "act": "read dead",
        "leads off": ["compressor leads"],
        "readings": {"pairs": {"function": "ohms", "pairs of": leads, "when": "dead"}},
        "judge": draw(st.sampled_from(["max(pairs)", "min(pairs)"])),
        "bands": _answers(draw, around, keys),
        "source": "judgement",
    }


def _capacitor(draw: Draw, around: _Around) -> Data:
    keys = ["up to high", "below low", "otherwise", "OL"]
    answers = _answers(draw, around, keys)
    return {
        "title": "Run capacitor, {rating}",
        "stage": DEAD,
        "act": "read dead",
        "leads off": ["run_cap.HERM"],
        "do": "Allowed {low} to {high}.",
        "work out": {"low": "rating less 6 %", "high": "rating plus 6 %"},
        "readings": {"herm": {"function": "capacitance", "between": ["run_cap.HERM", "run_cap.C"]}},
        "bands": {key: answers[key] for key in ("below low", "up to high", "otherwise", "OL")},
        "source": "nameplate",
    }


def _read_live(draw: Draw, around: _Around) -> Data:
    return {
        "title": "R to C",
        "stage": LIVE,
        "act": "read live",
        "readings": {
            "rc": {
                "function": "volts",
                "between": ["transformer.secondary.R", "transformer.secondary.C"],
            }
        },
        "bands": _answers(draw, around, [*_cuts(draw, "V"), "otherwise"]),
        "cannot": draw(st.sampled_from(around.later)),
        "source": "practice",
    }


def _sorted(draw: Draw, around: _Around) -> Data:
    """Draw a sort over a step above, or else over the nameplate."""
    above = around.of_kind("ask")
    if not above:
        words = list(_FIELDS["cover"]["one of"])
        return {"sort": "cover", "choices": _answers(draw, around, words)}
    over = draw(st.sampled_from(above))
    words = [*around.before[over]["choices"], *draw(st.sampled_from([[], ["not taken"]]))]
    return {"sort": over, "choices": _answers(draw, around, words)}


def _like(draw: Draw, around: _Around) -> Data:
    """Draw a step like one above, or else a question."""
    above = around.of_kind("read dead", "read live", "ask")
    if not above:
        return _asked(draw, around)
    other = draw(st.sampled_from(above))
    key = "choices" if "choices" in around.before[other] else "bands"
    words = list(around.before[other][key])
    answers = _answers(draw, around, words)
    return {"like": other, "title": "Once more", key: answers}


def _each(draw: Draw, around: _Around) -> Data:
    inner: Data = {
        "look": {
            "title": "Leads of the {the name}",
            "act": "read dead",
            "leads off": ["the leads"],
            "readings": {"shell": {"function": "ohms", "to ground from": "the leads"}},
            "judge": "min(shell)",
            "bands": {"below 1 Mohm": _outcome(draw, around), "otherwise": "next one"},
            "source": "judgement",
        }
    }
    if draw(st.booleans()):
        inner["look"]["bands"]["otherwise"] = "again"
        inner["again"] = {
            "like": "look",
            "bands": {"below 1 Mohm": "next one", "otherwise": "next one"},
        }
    return {"stage": DEAD, "for each": "loads", "none": around.next, "steps": inner}


def _used(draw: Draw, around: _Around) -> Data:
    least = draw(st.sampled_from(["20 V", "85 % of 24 V", "24 V less 10 %"]))
    return {
        "stage": LIVE,
        "use": "read-twice",
        "with": {"the least": least, "the name": "transformer"},
        "returns": {"good": around.next, "low": _outcome(draw, around)},
    }


_KINDS: Mapping[str, Callable[[Draw, _Around], Data]] = {
    "ask": _asked,
    "passed over": _passed_over,
    "done": _done,
    "read dead": _read_dead,
    "capacitor": _capacitor,
    "read live": _read_live,
    "sort": _sorted,
    "like": _like,
    "each": _each,
    "use": _used,
}
