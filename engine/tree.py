"""The model of an authored tree, as written and as walked.

`Tree` and `Procedure` are what a file says, checked word by word by `loader`. `expand` (in
`engine.expansion`) turns a tree and its procedures into a `WalkTree`: one flat mapping of steps
with every parameter put in, every row of a list written out and every stage change a chain of
ordinary steps. Everything that walks, proves or tries a tree reads the `WalkTree` only.

All values are frozen; nothing here opens a file or knows what a technician answered.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Annotated

from engine.bands import Bands
from engine.formula import Formula
from engine.power import Act
from engine.problems import Span
from engine.quantity import FAHRENHEIT
from engine.reading import Function
from engine.unit.showing import Showing
from engine.unit.symptom import Complaint
from engine.vocabulary import NOWHERE, Condition, Field, StepName, Text, Vocabulary

THE = "the "
"""What the names of parameters and of list columns begin with."""

GO_ON = "go on"
"""The latest *if still wrong*, else *if stuck*."""
CARRY_ON = "carry on"
"""The next judgement of the same step."""
NEXT_ONE = "next one"
"""The next row of the list; gone after expansion."""
RETURN = "return "
"""Followed by a word: the end of a procedure."""

REPAIR = "repair "
"""What the name of a finding's repair step begins with."""
DONE = "done"
NOT_NOW = "not now"
"""The two answers to a repair step."""
ENTER = "enter "
LEAVE = "leave "
"""What the names of the steps that change a stage begin with."""
OTHERWISE = "otherwise"
"""The answer for everything that no other answer is for."""

OUTSIDE = ""
"""The stage of a step that says none: boxes shut, no lock of mine."""
ANY_STAGE = "any"
"""Outside; but where a change of stage has failed, wherever the walk stands."""
CHANGING = "(changing)"
"""The stage of every step that enters or leaves a stage: nothing is changed on its way."""


@dataclass(frozen=True, slots=True)
class Suspect:
    """A cause still possible, with its weight (of all such calls, how often it is the cause)."""

    name: str
    title: str
    weight: float = 1.0
    condition: Condition = ()
    span: Span = NOWHERE


class Spread(StrEnum):
    """How one reading's words name its places."""

    BETWEEN = "between"
    PAIRS = "pairs of"
    TO_GROUND = "to ground from"
    EACH = "each of"
    ACROSS = "across"


@dataclass(frozen=True, slots=True)
class ReadingSpec:
    """One reading, or one set of readings, that a step asks for."""

    name: str
    function: Function
    spread: Spread
    points: tuple[str, ...]
    """Two points for ``between``; one set for pairs, to ground and each; two sets for across."""
    when: str = ""
    or_not_there: bool = False
    condition: Condition = ()
    span: Span = NOWHERE


@dataclass(frozen=True, slots=True)
class Outcome:
    """What follows from an answer. Exactly one of ``then`` and ``finds`` is set."""

    verdict: str = ""
    means: Text = ""
    counts_as: str = ""
    """The word of the act's effect; empty = the worse of them."""
    on: str = ""
    points_to: tuple[str, ...] = ()
    clears: tuple[str, ...] = ()
    finds: str = ""
    if_still_wrong: StepName = ""
    also: str = ""
    then: StepName = ""
    source: str = ""
    condition: Condition = ()
    shown_by: tuple[Showing, ...] = ()
    """What a simulated unit shows where this is the answer; of a choice without, that nothing
    else is shown: the first such is what a sound unit gives."""
    span: Span = NOWHERE


@dataclass(frozen=True, slots=True)
class Judgement:
    """Bands over a formula, or choices over words."""

    answers: Mapping[str, Outcome]
    """Outcome by band key (``below low``, ``otherwise``, ``OL`` …) or by choice, in file order."""
    judge: Formula | None = None
    """None: the step's only reading, or the word answered."""
    bands: Bands | None = None
    """None where the keys of ``answers`` are choices."""
    span: Span = NOWHERE


@dataclass(frozen=True, slots=True)
class ActHead:
    """A step that does or asks one thing."""

    act: Act
    zone: str = ""
    device: str = ""
    box: str = ""
    item: str = ""
    mode: str = ""
    on: str = ""
    leads_off: tuple[str, ...] = ()
    left_off: bool = False
    readings: tuple[ReadingSpec, ...] = ()
    work_out: tuple[tuple[str, Formula], ...] = ()
    judgements: tuple[Judgement, ...] = ()
    """Several for ``judge in turn``; none where the step has no answer."""
    counts_as: str = ""
    unread: tuple[str, ...] = ()
    """In a `WalkTree`: what the act's good outcome would have to rest on and does not, in words."""
    end: str = ""
    """``in service``, ``made safe`` or ``withdrawn``, with act *end*."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a list: column (``the leads``) → value, passed over if its condition fails."""

    columns: Mapping[str, Given]
    condition: Condition = ()
    span: Span = NOWHERE


Given = Annotated[str | tuple[str, ...] | Mapping[str, Row] | Formula, "given"]
"""What a parameter may be given: a word or text, several points, a whole list, a quantity."""


@dataclass(frozen=True, slots=True)
class UseHead:
    """A step that is a shared procedure; every return word has its outcome."""

    procedure: str
    with_: Mapping[str, Given]
    returns: Mapping[str, Outcome]


@dataclass(frozen=True, slots=True)
class SortHead:
    """A silent step that decides by what is known; one that goes by nothing takes `OTHERWISE`."""

    by_step: StepName = ""
    by_name: str = ""
    """A nameplate name, or in a procedure a parameter."""
    by_formula: Formula | None = None
    judgement: Judgement = field(default_factory=lambda: Judgement({}))


@dataclass(frozen=True, slots=True)
class EachHead:
    """Steps done once for each row of a list whose condition holds."""

    over: str
    steps: Mapping[str, Step]
    none: StepName
    """Where the walk goes when no row is left; filled in with the step below."""


@dataclass(frozen=True, slots=True)
class HandOverHead:
    """Go on in another tree, keeping what is named."""

    tree: str
    keep: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PassHead:
    """A silent step that only goes on; expansion writes it, no author does.

    A list begins with one, each row of it with one (its condition is the row's ``if``), and a
    *sort* over a parameter becomes one.
    """


Head = ActHead | UseHead | SortHead | EachHead | HandOverHead | PassHead


@dataclass(frozen=True, slots=True)
class Wait:
    """Time to let pass before the step, and what to do meanwhile."""

    seconds: int
    why: Text
    meanwhile: Text = ""


STUCK_REASONS = ("reach", "tell which", "no meter", "not there", "not now", "no nameplate")
"""Why a check cannot be done, in the order in which screens number them."""


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do or ask."""

    name: str
    title: Text
    head: Head
    stage: str = ""
    """A stage's name, ``any``, or empty: outside (in a procedure: that of the using step).
    In a `WalkTree` also `CHANGING`, and the zone and box of a stage stand in its steps."""
    condition: Condition = ()
    if_not: StepName = ""
    ask_first: tuple[str, ...] = ()
    """Fields asked here for steps to come; one that can't be read is left to the step in need."""
    minutes: float = 0.0
    who: str = ""
    why: Text = ""
    do: Text = ""
    cautions: tuple[tuple[str, Text], ...] = ()
    """(signal word, text) pairs, in file order."""
    tools: tuple[str, ...] = ()
    photo: Text = ""
    source: str = ""
    then: StepName = ""
    """Only where there is no answer; filled in with the step below where the author left it."""
    wait: Wait | None = None
    close: str = ""
    """The verdict taken when a reading is too close to call twice."""
    cannot: Mapping[str, StepName] = field(default_factory=dict)
    """Step by reason of `STUCK_REASONS`; in a `WalkTree` every reason is there."""
    again: bool = False
    """True for a step written ``like`` another: its readings are taken anew."""
    span: Span = NOWHERE


@dataclass(frozen=True, slots=True)
class Finding:
    """The cause a walk ends on, with its repair; or a side finding (`kind` noted or mended)."""

    name: str
    title: Text
    suspect: str = ""
    kind: str = ""
    repair: Text = ""
    act: Act = Act.REPAIR
    stage: str = ""
    zone: str = ""
    device: str = ""
    """The device that the repair replaces: reported damaged before, it counts as sound after."""
    box: str = ""
    item: str = ""
    who: str = ""
    minutes: float = 0.0
    parts: tuple[Text, ...] = ()
    tell_customer: Text = ""
    left: Text = ""
    then: StepName = ""
    not_now: StepName = ""
    span: Span = NOWHERE


@dataclass(frozen=True, slots=True)
class Stage:
    """A state in which steps are done, and the procedures that enter and leave it."""

    name: str
    enter: UseHead | None
    leave: UseHead | None
    zone: str = ""
    box: str = ""
    from_: str = ""
    back_to: str = ""
    ask_first: tuple[str, ...] = ()
    """Nameplate fields that are asked before the stage is entered."""
    span: Span = NOWHERE


@dataclass(frozen=True, slots=True)
class Accepted:
    """Why something that is not proved may stand all the same, and on which date that was said."""

    why: str
    on: str
    span: Span = NOWHERE


@dataclass(frozen=True, slots=True)
class Status:
    """``draft``, or ``reviewed`` by whom, when, and again by when."""

    word: str
    by: str = ""
    on: str = ""
    again_by: str = ""
    accepted: Mapping[str, Accepted] = field(default_factory=dict)
    """Property that is not proved → why it may stand all the same."""


@dataclass(frozen=True, slots=True)
class Tree:
    """One authored troubleshooting procedure for a complaint, as its file says it."""

    name: str
    title: str
    complaint: Complaint
    revision: int
    status: Status
    layout: str
    if_stuck: str
    nameplate: Mapping[str, Field]
    suspects: Mapping[str, Suspect]
    lists: Mapping[str, Mapping[str, Row]]
    stages: Mapping[str, Stage]
    start: str
    steps: Mapping[str, Step]
    findings: Mapping[str, Finding]
    span: Span = NOWHERE


@dataclass(frozen=True, slots=True)
class Procedure:
    """A shared piece of work with parameters and result words."""

    name: str
    title: str
    takes: Mapping[str, str]
    """Parameter (``the zone``) → what it is: zone, device, box, point set, list, quantity, text."""
    returns: tuple[str, ...]
    gives: Mapping[str, str]
    """Result name → ``step.reading`` or ``step.work-out name`` inside the procedure."""
    start: str
    steps: Mapping[str, Step]
    span: Span = NOWHERE


@dataclass(frozen=True, slots=True)
class WalkTree:
    """A tree ready to walk: procedures, lists and stages written out.

    Step names are ``step``, ``using-step/step`` and, in a list, ``each-step/row/step``. The steps
    that enter and leave a stage are ``enter STAGE/step`` and ``leave STAGE/step``, all of stage
    `CHANGING`; ``enter STAGE`` and ``leave STAGE`` themselves are `UseHead` steps whose ``done``
    is not listed: the walk then goes on to the step it was changing stage for. A `UseHead` step
    goes on at ``begins[name]``; a target `RETURN` + word goes to the outcome of that word in the
    step ``inside[name]``. A finding's repair is the step ``repair FINDING``, written out from the
    finding: an act, its work in ``do``, ``then`` = the finding's ``then``.

    A target is a step of ``steps``, `GO_ON`, `CARRY_ON` or `RETURN` + word. A bare name in a
    formula or text is a reading or work-out of the same step, or a field; a dotted one is
    ``step.reading`` with the whole name of the step, or a key of ``gives``.
    """

    tree: Tree
    vocabulary: Vocabulary
    fields: Mapping[str, Field]
    """Every nameplate field that may be asked: the vocabulary's and the tree's own."""
    steps: Mapping[str, Step]
    begins: Mapping[str, str]
    """`UseHead` step → first step of its procedure, written out."""
    inside: Mapping[str, str]
    """Step → the `UseHead` step it belongs to; steps of the tree itself are not listed."""
    gives: Mapping[str, str]
    """``using-step.name`` → ``using-step/step.reading``, through as many procedures as it takes."""
    digest: str = ""
    """SHA-256 of the files that the tree was made of."""
    degrees: str = FAHRENHEIT
    """What temperatures are shown in on this walk, and a bare one is typed in: F or C."""
