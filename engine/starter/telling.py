"""The questions about one way to tell a cause: a reading with its window, a look, a question."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence

from engine.power import Act
from engine.reading import Function
from engine.starter.beginning import Glance, Measurement
from engine.starter.low_voltage import is_on_control
from engine.starter.question import Asking, NotTakenError, Question, asked, picked
from engine.starter.sentences import sentence, title
from engine.starter.windows import window_end
from engine.starter.words_known import DEAD_BOXES, LIVE_BOXES, WordsKnown
from engine.vocabulary import Point

FUNCTIONS = (
    Function.VOLTS,
    Function.DC_VOLTS,
    Function.CLAMP_AMPS,
    Function.OHMS,
    Function.CAPACITANCE,
)
"""What a begun tree can read: each needs no more than two leads or a clamp."""
_SAID = {
    Function.VOLTS: "AC volts, live",
    Function.DC_VOLTS: "DC volts, live",
    Function.CLAMP_AMPS: "amps by clamp, live",
    Function.OHMS: "ohms, locked out and proven",
    Function.CAPACITANCE: "microfarads, locked out and proven",
}
_SOURCES = ("nameplate", "standard", "code", "physics", "practice", "judgement")
_GROUND = "ground"


def told_by(
    cause: str, known: WordsKnown, before: Sequence[Measurement] = ()
) -> Asking[Measurement | Glance]:
    """Ask for one way to tell a cause; ``before`` are the readings that tell other causes."""
    how = yield from picked(
        Question(f"{cause}: how do you tell that it is this one?"),
        [
            ("a meter reading", "read"),
            ("a look into a box", "look"),
            ("a look from outside, or a question", "ask"),
        ],
    )
    if how == "read":
        return (yield from _measurement(known, before))
    box = ""
    if how == "look":
        box = yield from picked(Question("Into which box?"), [(one, one) for one in DEAD_BOXES])
    return (yield from _glance(cause, box, known))


# --- a reading ------------------------------------------------------------------------------------


def _measurement(known: WordsKnown, before: Sequence[Measurement]) -> Asking[Measurement]:
    function = yield from picked(
        Question("Which reading?"), [(_SAID[one], one) for one in FUNCTIONS]
    )
    leads = yield from _leads(function, known, before)
    control = is_on_control(function, leads, known.vocabulary)
    low = yield from asked(
        Question(
            "Where it is NOT this cause it reads at least what?",
            f"With its unit, or over the nameplate: {_example(function)}.",
            enter="no lower end",
        ),
        window_end(function, known.vocabulary, low_voltage=control),
    )
    high = yield from asked(
        Question(
            "And at most what?",
            "Below the one or above the other, it is this cause.",
            enter="no upper end" if low else "",
        ),
        window_end(function, known.vocabulary, low, may_lack=bool(low), low_voltage=control),
    )
    kind = yield from picked(
        Question("Where does that come from?"), [(one, one) for one in _SOURCES]
    )
    more = yield from asked(
        Question(
            "In a few words, which?",
            "tolerance on the can; ten years of such units",
            enter="no more",
        ),
        _may_be_empty,
    )
    return Measurement(function, leads, low, high, f"{kind}: {more}" if more else kind)


def _example(function: Function) -> str:
    return {
        Function.VOLTS: "20.4 V, 90 % of low of rated_volts",
        Function.DC_VOLTS: "2.4 V, 80 % of 3 V",
        Function.CLAMP_AMPS: "5 A, 80 % of compressor_rla",
        Function.CAPACITANCE: "35 uF, rated_capacitance less capacitance_tolerance",
    }.get(function, "4 ohm")


def _may_be_empty(text: str) -> str:
    return title(text) if text else ""


def _leads(
    function: Function, known: WordsKnown, before: Sequence[Measurement]
) -> Asking[tuple[str, ...]]:
    boxes = DEAD_BOXES if function.is_dead else LIVE_BOXES
    taken = {frozenset(one.leads) for one in before if one.function is function}
    if function is Function.CLAMP_AMPS:
        point = yield from _point(
            "Round which lead?", boxes, known, "", lambda one: _not_clamped(one, taken)
        )
        return (point.name,)
    one = yield from _point("One lead of the meter where?", boxes, known, "")
    rest = {one.box: boxes[one.box]} if one.box else boxes
    other = yield from _point(
        "The other lead where?",
        rest,
        known,
        one.name,
        lambda two: _READ_ALREADY if {one.name, two.name} in taken else "",
    )
    return (one.name, other.name)


_READ_ALREADY = (
    "That reading tells another cause already, and is not taken twice. Another point, or u and "
    "another way to tell it."
)


def _not_clamped(point: Point, taken: Collection[frozenset[str]]) -> str:
    """Return why amps are not read there; empty where they may be."""
    if point.zone == "control":
        # Its amps say nothing of its volts, and hands in the thermostat rest on those.
        return "A control wire is told by its volts here. Round a lead of the unit's own circuit."
    return _READ_ALREADY if {point.name} in taken else ""


def _nothing_against(point: Point) -> str:
    return ""


def _point(
    words: str,
    boxes: Collection[str],
    known: WordsKnown,
    before: str,
    against: Callable[[Point], str] = _nothing_against,
) -> Asking[Point]:
    """Ask for a point, by words of it or, where several are meant, by its number.

    ``against`` says why a point is not taken; empty where it may be.
    """

    def take(text: str) -> list[Point]:
        found = [one for one in known.points(text, boxes) if one.name != before]
        found = [one for one in found if one.box or (before and one.name == _GROUND)]
        if not found:
            raise NotTakenError(_no_point(text, boxes, known))
        free = [one for one in found if not against(one)]
        if not free:
            raise NotTakenError(against(found[0]))
        if len(free) > _MOST_OFFERED:
            raise NotTakenError(f"{len(free)} points are called so. Say first what part it is on.")
        return free

    hint = f"In the {', '.join(boxes)}: contactor coil Y, run cap HERM"
    hint += "; or ground." if before else "."
    hint += " ? says what there is."
    found = yield from asked(Question(words, hint), take)
    if len(found) == 1:
        return found[0]
    return (
        yield from picked(
            Question(f"{words} Which of these?"), [(_shown(one), one) for one in found]
        )
    )


_MOST_OFFERED = 12


def _shown(point: Point) -> str:
    return f"{point.title} ({point.name})"


def _no_point(text: str, boxes: Collection[str], known: WordsKnown) -> str:
    elsewhere = known.elsewhere(text, boxes)
    if elsewhere:
        return (
            f"That is in the {elsewhere}, and here it can be the {' or the '.join(boxes)}. For the "
            "rest see how the shipped trees do it."
        )
    near = known.near_points(text, boxes)
    if near:
        return f"No point is called so. Near it: {'; '.join(near)}."
    parts = ", ".join(known.parts(boxes))
    return f"Say the part, then which of its points. There are: {parts}."


# --- a look, or a question ------------------------------------------------------------------------


def _glance(cause: str, box: str, known: WordsKnown) -> Asking[Glance]:
    act = Act.LOOK if box else Act.ASK
    do = yield from asked(
        Question("What do you look at, or ask?", "One sentence, as you would tell an apprentice."),
        sentence(act, known.vocabulary.fields),
    )
    shows = yield from asked(Question(f"What is the answer if it is: {cause}?"), title)

    def take(text: str) -> str:
        if title(text).casefold() == shows.casefold():
            raise NotTakenError("That is the same answer.")
        return text

    otherwise = yield from asked(Question("And if it is not?"), take)
    return Glance(do, shows, otherwise, box)
