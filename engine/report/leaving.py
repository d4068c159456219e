"""What is left behind: hazards, what was not touched, the label to post, what has to follow."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine.entries import Entry, EntryKind
from engine.guide.correcting import READ_AGAIN
from engine.guide.talk import STOP_WORDS
from engine.job.store import Header
from engine.power import Act, Position
from engine.report.model import Label
from engine.report.walked import REPORTED, WalkDone
from engine.report.when import by_whom, clock
from engine.safe_words import STOP_FIRST, Signal, left_behind
from engine.session.moving import layout_of
from engine.session.state import Found
from engine.tree import DONE

_KILLS = frozenset({"gas", "service"})
"""Stop reasons that will kill if nothing is done; the others could (judgement)."""


def open_findings(done: WalkDone) -> Iterator[Found]:
    """Yield what was found and not mended: causes first, then what was only noted."""
    left = [found for found in done.state.found if not done.mended(found)]
    yield from sorted(left, key=lambda found: bool(done.finding(found).kind))


def for_people(done: WalkDone, found: Found) -> bool:
    """Tell whether something not mended may hurt somebody: a cause, or work for a licensed person.

    What was only noted and anybody may mend (a loaded filter) is no hazard (judgement).
    """
    finding = done.finding(found)
    return not finding.kind or bool(finding.who)


def hazards(done: WalkDone) -> Iterator[str]:
    """Yield what can hurt or harm and is left, as reported."""
    state = done.state
    if done.stopped:
        yield f"Work was stopped: {stop_words(done)}."
    for device, position in zip(layout_of(done.walk).devices, state.power.position, strict=True):
        if position in (Position.DAMAGED, Position.IN_DOUBT):
            yield f"The {device.name} is damaged or in doubt; take what it feeds as live."
    if state.end != "in service":
        yield from (f"Left: {what}." for what in left_behind(layout_of(done.walk), state.power))
    for found in open_findings(done):
        if for_people(done, found):
            yield from left_of(done, found)


def stop_words(done: WalkDone) -> str:
    """Return in words why the work was stopped; empty where it was not."""
    return STOP_WORDS.get(done.stopped, done.stopped)


def left_of(done: WalkDone, found: Found) -> Iterator[str]:
    """Yield what happens if a finding stays as it is; of one only noted first what it is."""
    finding = done.finding(found)
    if finding.kind:
        yield f"{done.text(finding.title)}."
    if finding.left:
        yield done.text(finding.left)


def follow_up(done: WalkDone) -> Iterator[str]:
    """Yield what has to be done next, by whom, with which parts."""
    for found in open_findings(done):
        finding = done.finding(found)
        who = f" ({finding.who})" if finding.who else ""
        parts = "; ".join(done.text(part) for part in finding.parts)
        if finding.repair:
            yield f"{done.text(finding.repair)}{who}{f' Parts: {parts}.' if parts else ''}"
    if done.state.handed_to:
        yield f"Go on in the tree {done.state.handed_to}."
    elif done.state.end != "in service" and not done.causes:
        yield "The cause is not found yet; another visit is needed."


_PUT_BACK = (
    Act.TAKE_OFF,
    Act.CLOSE_UP,
    Act.ALL_CLEAR,
    Act.UNLOCK,
    Act.SWITCH_ON,
    Act.TAG_OUT,
)
"""Acts that give a unit back, or keep it from being used."""


def put_back(done: WalkDone) -> Iterator[str]:
    """Yield what was taken off, shut, unlocked, switched on or tagged since the last repair.

    Where nothing was mended, since the last cause was found; without one there is nothing to tell.
    """
    mended = [one.n for one in done.live if one.kind is EntryKind.REPAIR and one.outcome == DONE]
    since = max(mended or [one.n for one in done.causes], default=None)
    if since is None:
        return
    for one in done.reported(*_PUT_BACK):
        if one.n > since:
            said = one.verdict or one.outcome
            came_to = f": {said}" if said and said != DONE else ""
            yield f"{clock(one)} {one.title or one.step}{came_to}"


def not_touched(walks: Sequence[WalkDone]) -> Iterator[str]:
    """Yield what nobody reported opening on this visit, so that nobody answers for work there.

    An opening that was taken back again does not count as *not opened*.
    """
    heads = [
        (done, head)
        for done in walks
        for one in done.entries
        if one.kind in REPORTED and (head := done.head(one))
    ]
    opened = {head.box for _, head in heads if head.act is Act.OPEN_UP}
    boxes = dict.fromkeys(box.name for done in walks for box in layout_of(done.walk).boxes)
    yield from (f"{box}: not opened" for box in boxes if box not in opened)
    items = {head.item for _, head in heads}
    if not items & {"gauges", "open refrigerant"}:
        yield "refrigerant circuit: not opened, no gauges on"
    if "open gas" not in items:
        yield "gas train: not opened"


def label(header: Header, done: WalkDone) -> Label | None:
    """Return the text to post at the unit; None where it runs and nothing is left.

    Signal words by ANSI Z535 (*from memory*): DANGER will kill or maim if not avoided, WARNING
    could; NOTICE is for what harms no person. A unit left off is under a tag that says not to
    operate it, as 29 CFR 1910.147(c)(5)(iii) has it (*from memory*).
    """
    left = tuple(dict.fromkeys(hazards(done)))
    in_service = done.state.end == "in service" and not done.stopped
    if in_service and not left:
        return None
    unit = header.unit or "This unit"
    who = ", ".join(word for word in (header.by, header.firm, header.created[:10]) if word)
    if in_service:
        return Label(_signal(done), (f"{unit}.", *left, who))
    first = f"{unit} is out of service. Do not operate. Do not switch on."
    left = left or ("The cause is not found yet.",)
    at_once = STOP_FIRST.get(done.stopped, "")
    who_may = "Only those whose tag this is, or who are sent in their place, put it back on."
    return Label(_signal(done), tuple(filter(None, (first, *left, at_once, who_may, who))))


def _signal(done: WalkDone) -> str:
    state = done.state
    if done.stopped in _KILLS:
        return Signal.DANGER
    licensed = any(done.finding(found).who for found in open_findings(done))
    if state.end != "in service" or licensed:
        return Signal.WARNING
    return Signal.NOTICE


def taken_back(done: WalkDone) -> Iterator[str]:
    """Yield entries taken back or corrected; an act among them was reported, then withdrawn."""
    by_n = {one.n: one for one in done.entries}
    for one in done.entries:
        was = by_n.get(one.of)
        if was is None or (one.kind is EntryKind.STRIKE and one.outcome == READ_AGAIN):
            continue
        what = was.title or was.outcome or was.step
        how = "reported, then withdrawn"
        if one.kind is not EntryKind.STRIKE:
            how = f"corrected to {_said(one)}"
        yield f"{clock(was)} {what}: {_said(was)} ({how} {by_whom(one)})"


def _said(entry: Entry) -> str:
    return entry.outcome if entry.typed.isdigit() and not entry.said else entry.typed or DONE
