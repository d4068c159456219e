"""From the data of a file to the model: what is said, what is filled in, what stays empty."""

from __future__ import annotations

from fractions import Fraction

import pytest

from engine.formula import parse
from engine.loader.build import build, kind_of_file
from engine.loader.text import read
from engine.power import Act
from engine.quantity import Kind, Quantity
from engine.reading import Function, Special
from engine.trade.catalogue import FIGURES
from engine.tree import (
    NEXT_ONE,
    STUCK_REASONS,
    EachHead,
    HandOverHead,
    PassHead,
    SortHead,
    Spread,
    Step,
    Tree,
)
from engine.vocabulary import Comparison, Relation, Vocabulary
from tests.engine.written import HEAD, act, procedure_of, tree_of

STEPS = """\
    start: first
    steps:
      first:
        title: First
        act: check
        zone: unit
        box: control box
        minutes: 2.5
        if: [phases is 3, refrigerant is R-32]
        if not: last
        leads off: [compressor leads]
        caution: {WARNING: Live beside it., NOTICE: Ohms only.}
        wait: {for: 5 min, why: Let it cool.}
        readings:
          shell: {function: ohms, to ground from: compressor leads, when: dead, or: not there}
          pair:  {function: ohms, between: [contactor.T1, contactor.T2], if: fitted has drive}
        judge in turn:
          - judge: min(shell)
            bands: {below 1 Mohm: {counts as: fault, then: last}, otherwise: carry on}
          - judge: pair
            bands:
              up to 2 ohm: {verdict: shorted, counts as: fault, then: last}
              otherwise: last
              OL: {verdict: open, then: last}
              can't read: last
        cannot: {reach: last, no meter: each}
      plain: {act: all clear}
      each:
        for each: loads
        steps: {look: {act: look, box: control box}, done: {act: all clear}}
      sorts: {sort: first, choices: {otherwise: last}}
      over: {hand over: other, keep: [readings, power]}
      last: {act: end, end: withdrawn}
    """


@pytest.fixture
def steps() -> dict[str, Step]:
    """Build the steps of a tree."""
    return dict(tree_of(STEPS).steps)


def test_an_act_with_everything_said_of_it(steps: dict[str, Step]) -> None:
    first = steps["first"]
    assert (act(first).act, act(first).zone, act(first).box) == (Act.CHECK, "unit", "control box")
    assert (first.minutes, first.if_not) == (2.5, "last")
    assert first.cautions == (("WARNING", "Live beside it."), ("NOTICE", "Ohms only."))
    assert first.wait is not None
    assert (first.wait.seconds, first.wait.why) == (300, "Let it cool.")
    assert (first.span.line, first.span.column) == (HEAD.count("\n") + 3, 3)


def test_a_list_of_conditions_is_all_of_them(steps: dict[str, Step]) -> None:
    assert [test.name for test in steps["first"].condition] == ["phases", "refrigerant"]


@pytest.mark.parametrize(
    ("words", "test"),
    [
        ("phases is 3", Comparison("phases", Relation.IS, ("3",))),
        ("phases is not 3", Comparison("phases", Relation.IS_NOT, ("3",))),
        ("fitted has pan float", Comparison("fitted", Relation.HAS, ("pan float",))),
        ("gas is one of R-32, R-22", Comparison("gas", Relation.ONE_OF, ("R-32", "R-22"))),
        ("the box is control box", Comparison("the box", Relation.IS, ("control box",))),
    ],
)
def test_a_condition_is_read_as_said(words: str, test: Comparison) -> None:
    tree = tree_of(f"steps: {{look: {{act: look, if: '{words}', if not: look}}}}")
    assert tree.steps["look"].condition == (test,)


def test_readings_say_where_their_leads_go(steps: dict[str, Step]) -> None:
    shell, pair = act(steps["first"]).readings
    assert (shell.name, shell.function, shell.spread) == ("shell", Function.OHMS, Spread.TO_GROUND)
    assert (shell.points, shell.when, shell.or_not_there) == (("compressor leads",), "dead", True)
    assert (pair.spread, pair.points) == (Spread.BETWEEN, ("contactor.T1", "contactor.T2"))
    assert pair.condition == (Comparison("fitted", Relation.HAS, ("drive",)),)


def test_judgements_in_turn_keep_their_order(steps: dict[str, Step]) -> None:
    ground, pairs = act(steps["first"]).judgements
    assert ground.judge == parse("min(shell)", FIGURES)
    assert ground.answers["otherwise"].then == "carry on"
    assert ground.answers["below 1 Mohm"].counts_as == "fault"
    assert pairs.bands is not None
    assert pairs.bands.keys == ("up to 2 ohm", "otherwise", "OL", "can't read")
    assert pairs.bands.specials == (Special.OL, Special.CANT_READ)


def test_an_answer_is_its_own_verdict_unless_it_says_one(steps: dict[str, Step]) -> None:
    answers = act(steps["first"]).judgements[1].answers
    assert [answer.verdict for answer in answers.values()] == [
        "shorted",
        "otherwise",
        "open",
        "can't read",
    ]


def test_a_step_without_an_answer_leads_to_the_one_below(steps: dict[str, Step]) -> None:
    assert steps["plain"].then == "each"
    assert steps["first"].then == ""
    assert steps["last"].then == ""


def test_the_last_step_of_a_list_leads_to_the_next_one(steps: dict[str, Step]) -> None:
    each = steps["each"].head
    assert isinstance(each, EachHead)
    assert [step.then for step in each.steps.values()] == ["done", NEXT_ONE]
    assert each.none == "sorts"


def test_cant_may_say_one_way_for_all_reasons_or_each_its_own(steps: dict[str, Step]) -> None:
    assert steps["first"].cannot == {"reach": "last", "no meter": "each"}
    tree = tree_of("steps: {look: {act: look, cannot: away}, away: {act: end, end: withdrawn}}")
    assert tree.steps["look"].cannot == dict.fromkeys(STUCK_REASONS, "away")


def test_a_title_unsaid_is_the_name(steps: dict[str, Step]) -> None:
    assert steps["plain"].title == "Plain"


def test_heads_of_every_kind(steps: dict[str, Step]) -> None:
    sort, over = steps["sorts"].head, steps["over"].head
    assert isinstance(sort, SortHead)
    assert sort.by_step == "first"
    assert over == HandOverHead("other", ("readings", "power"))


@pytest.mark.parametrize(
    ("sort", "answers", "field"),
    [
        ("look", "choices: {otherwise: look}", "by_step"),
        ("phases", "choices: {otherwise: look}", "by_name"),
        ("the box", "choices: {otherwise: look}", "by_name"),
        ("look.volts", "bands: {otherwise: look}", "by_formula"),
        ("verdict of unbalance(look.pairs)", "choices: {otherwise: look}", "by_formula"),
    ],
)
def test_what_a_sort_goes_by(sort: str, answers: str, field: str) -> None:
    tree = tree_of(f"steps: {{look: {{act: look}}, which: {{sort: '{sort}', {answers}}}}}")
    head = tree.steps["which"].head
    assert isinstance(head, SortHead)
    said = {name for name in ("by_step", "by_name", "by_formula") if getattr(head, name)}
    assert said == {field}


# --- like -----------------------------------------------------------------------------------------

LIKE = """\
    steps:
      look:
        title: First look
        act: read live
        stage: any
        why: To see.
        readings: {volts: {function: volts, between: [contactor.L1, contactor.L2]}}
        judge: max(volts)
        bands: {below 187 V: again, otherwise: again}
        close: low
      again:
        like: look
        title: Second look
        bands: {below 180 V: {verdict: low, then: look}, otherwise: look}
      once-more: {like: look, do: Read it.}
    """


def test_a_step_like_another_says_only_what_is_different() -> None:
    steps = tree_of(LIKE).steps
    again, once_more = steps["again"], steps["once-more"]
    assert (again.title, again.why, again.stage, again.close) == (
        "Second look",
        "To see.",
        "any",
        "low",
    )
    assert act(again).readings == act(steps["look"]).readings
    assert act(again).judgements[0].judge == parse("max(volts)", FIGURES)
    assert list(act(again).judgements[0].answers) == ["below 180 V", "otherwise"]
    assert (once_more.title, once_more.do) == ("First look", "Read it.")
    assert again.again
    assert not steps["look"].again


# --- heads of files -------------------------------------------------------------------------------


def test_the_head_of_a_tree() -> None:
    tree = tree_of(
        """\
        nameplate:
          rating: {ask: Rating, quantity: capacitance, from: 5 uF, to: 90 uF, usual: [9 uF, 60 uF]}
          rated: {ask: Volts, form: volts marking, from: 100 V, to: 600 V, if unreadable: default}
          fitted: {ask: Fitted, any of: [drive, heater], if: phases is 3}
          size: {ask: Size, quantity: current, at least: rating, default: 20 A}
        lists: {loads: {fan: {the leads: fan leads, if: phases is 3}}}
        stages:
          dead: {zone: unit, box: panel, from: live, back to: live, enter: {use: go-in}}
          live: {}
        start: look
        steps: {look: {act: look}}
        findings:
          wire: {suspect: loose-wire, title: A wire, repair: Land it., minutes: 5, parts: [Wire]}
        """
    )
    rating, rated = tree.nameplate["rating"], tree.nameplate["rated"]
    assert (rating.kind, rating.unit, rating.low) == (
        Kind.CAPACITANCE,
        "uF",
        Quantity(Fraction(5), Kind.CAPACITANCE),
    )
    assert rating.usual is not None
    assert (rated.kind, rated.volts_marking, rated.if_unreadable) == (Kind.VOLTAGE, True, "default")
    assert tree.nameplate["fitted"].many
    assert tree.nameplate["fitted"].words == ("drive", "heater")
    assert (tree.nameplate["size"].unit, tree.nameplate["size"].at_least) == ("A", "rating")
    assert tree.lists["loads"]["fan"].columns == {"the leads": "fan leads"}
    assert tree.lists["loads"]["fan"].condition
    assert (tree.stages["dead"].from_, tree.stages["dead"].back_to) == ("live", "live")
    assert tree.stages["live"].enter is None
    assert tree.findings["wire"].act is Act.REPAIR
    assert (tree.revision, tree.status.word) == (1, "draft")


def test_a_reviewed_tree_says_by_whom_and_until_when() -> None:
    reviewed = "status: {reviewed: {by: A. Wright, on: 2026-03-01, again by: 2028-03-01}}"
    document = read("x.yaml", HEAD.replace("status: draft", reviewed).encode())
    built = build(document)
    assert built is not None
    assert isinstance(built.made, Tree)
    status = built.made.status
    assert (status.word, status.by, status.on) == ("reviewed", "A. Wright", "2026-03-01")
    assert status.again_by == "2028-03-01"
    assert status.accepted == {}


def test_a_reviewed_tree_says_why_what_is_not_proved_may_stand() -> None:
    left = "not proved: {cuts rise: {why: The two are never equal., on: 2026-03-02}}"
    status = (
        f"status: {{reviewed: {{by: electrician, on: 2026-03-01, again by: 2028-03-01, {left}}}}}"
    )
    built = build(read("x.yaml", HEAD.replace("status: draft", status).encode()))
    assert built is not None
    assert isinstance(built.made, Tree)
    accepted = built.made.status.accepted["cuts rise"]
    assert (accepted.why, accepted.on) == ("The two are never equal.", "2026-03-02")
    assert accepted.span.line == 1 + HEAD.splitlines().index("status: draft")


def test_weights_are_shares_or_plain() -> None:
    document = read(
        "x.yaml", b"tree: x\nsuspects: {a: {weight: 3 of 10}, b: {weight: 2.5}, c: {}}\n"
    )
    built = build(document)
    assert built is not None
    assert isinstance(built.made, Tree)
    assert [one.weight for one in built.made.suspects.values()] == [0.3, 2.5, 1.0]


def test_a_procedure_starts_at_its_first_step_unless_it_says_so() -> None:
    text = (
        "procedure: p\ntitle: P\nreturns: [done]\n{}steps: {{a: {{act: tell}}, b: {{act: tell}}}}\n"
    )
    assert procedure_of(text.format("")).start == "a"
    assert procedure_of(text.format("start: b\n")).start == "b"


def test_the_vocabulary() -> None:
    raw = b"""\
vocabulary: words
points:
  contactor.L1: {title: Contactor L1, box: control box, zone: unit}
  ground: Bare metal
sets: {line: {1: [contactor.L1, ground], 3: [contactor.L1]}}
nameplate: {phases: {ask: Phases, one of: [1, 3]}}
suspects: {loose-wire: Loose wire}
signs: {display-dark: The display is dark}
"""
    built = build(read("vocabulary.yaml", raw))
    assert built is not None
    assert isinstance(built.made, Vocabulary)
    words = built.made
    assert words.points["contactor.L1"].zone == "unit"
    assert words.points["ground"].title == "Bare metal"
    assert words.sets["line"] == {"1": ("contactor.L1", "ground"), "3": ("contactor.L1",)}
    assert words.fields["phases"].words == ("1", "3")
    assert words.suspects == {"loose-wire": "Loose wire"}
    assert words.signs == {"display-dark": "The display is dark"}


@pytest.mark.parametrize(
    ("keys", "kind"),
    [
        (["tree"], "tree"),
        (["format", "procedure"], "procedure"),
        (["cases for", "tree"], "cases for"),
        (["title", "tree"], None),
        ([], None),
    ],
)
def test_the_first_key_tells_what_a_file_is(keys: list[str], kind: str | None) -> None:
    assert kind_of_file(dict.fromkeys(keys, "")) == kind


# --- anything whatever ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "raw",
    [
        b"tree: [1]\nsteps: x\n",
        b"tree: x\nsteps: {a: b, c: [d], e: {act: {f: g}}, h: {for each: {}, steps: []}}\n",
        b"tree: x\nsteps: {a: {act: ask, choices: [b], bands: {}, judge in turn: [x]}}\n",
        b"tree: x\nsteps: {a: {like: a}, b: {like: c}, c: {use: [], with: x, returns: []}}\n",
        b"tree: x\nstages: {a: b, c: {enter: []}}\nfindings: {a: []}\nsuspects: [a]\n",
        b"tree: x\nlists: {a: b, c: {d: e}}\ncomplaint: x\nrevision: y\n",
        b"tree: x\nnameplate: {a: b, c: {quantity: [x], usual: [1 V]}}\nstatus: []\n",
        b"procedure: x\ntakes: []\ngives: {a: b, c: {}}\nreturns: {}\n",
        b"vocabulary: x\npoints: {a: []}\nsets: {a: {b: c}, d: e}\n",
    ],
)
def test_whatever_a_file_holds_something_is_built(raw: bytes) -> None:
    built = build(read("x.yaml", raw))
    assert built is not None


def test_a_step_of_no_kind_leads_on() -> None:
    built = build(read("x.yaml", b"tree: x\nsteps: {a: {title: A}, b: {act: tell}}\n"))
    assert built is not None
    assert isinstance(built.made, Tree)
    assert built.made.steps["a"].head == PassHead()
    assert built.made.steps["a"].then == "b"
