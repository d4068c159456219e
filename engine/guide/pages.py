"""The pages behind the letters: the trail, why, what is still possible, the zones, leaving."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from engine.entries import NOT_THERE, Entry, EntryKind
from engine.guide.customer import words_for
from engine.guide.filling import fill
from engine.guide.prompt import Prompt
from engine.guide.showing import zone_lines
from engine.guide.talk import View
from engine.power import Cover, Position
from engine.session.judging import holds
from engine.session.moving import layout_of
from engine.session.state import Bearing, State
from engine.session.steps import step_named
from engine.tree import WalkTree


def trail(view: View, entries: Sequence[Entry]) -> tuple[str, ...]:
    """Return what has been entered, numbered, with what it came to."""
    lines = [f"{number:2} {_entry_words(view, one)}" for number, one in enumerate(entries, 1)]
    return tuple(lines) or ("Nothing entered yet.",)


@dataclass(frozen=True, slots=True)
class TrailRow:
    """One entry of the record, as the list beside the walk shows it."""

    number: int
    """The number by which the trail corrects it; 0 for one that can't be."""
    words: str
    taken_back: bool = False


def trail_rows(view: View, live: Sequence[Entry]) -> tuple[TrailRow, ...]:
    """Return what was entered on this walk, newest first; ``live`` are those the trail numbers."""
    numbers = {one.n: number for number, one in enumerate(live, 1)}
    gone = {one.of for one in view.entries if one.of}
    rows = [
        TrailRow(numbers.get(one.n, 0), _entry_words(view, one), one.n in gone)
        for one in view.entries
        if one.n in numbers or one.n in gone or one.kind in _LISTED
    ]
    return tuple(reversed(rows))


_LISTED = frozenset({EntryKind.NOTE, EntryKind.PHOTO, EntryKind.REMARK, EntryKind.STOP})
"""What the list shows besides the answers."""


def _entry_words(view: View, entry: Entry) -> str:
    passed = next((one for one in view.state.passed if one.n == entry.n), None)
    verdict = (passed.verdict if passed else "") or entry.verdict
    what = entry.typed or entry.outcome
    if entry.kind is EntryKind.CANNOT:
        what = entry.verdict or f"can't: {entry.outcome}"
    elif entry.said and verdict:
        what = f"{_read(entry)}: {verdict}"
    elif entry.kind in (EntryKind.ANSWER, EntryKind.REPAIR):
        # A choice was typed as a number; its words say more.
        what = verdict or entry.outcome or what
    return f"{_title(view.walk, entry)}: {what}".strip()


def _read(entry: Entry) -> str:
    """Return what was read, a unit that all readings share behind the last one: ``205 206 V``."""
    read = [one.reading() for one in entry.said]
    words = [one.words() if one else NOT_THERE for one in read]
    units = {one.partition(" ")[2] for one in words}
    if len(units) == 1:
        words[:-1] = [one.partition(" ")[0] for one in words[:-1]]
    return " ".join(words)


def _title(walk: WalkTree, entry: Entry) -> str:
    if entry.kind is EntryKind.NAMEPLATE:
        return entry.title or entry.outcome
    return entry.title or (step_named(walk, entry.step).title if entry.step else str(entry.kind))


def why(view: View, shown: Prompt) -> tuple[str, ...]:
    """Return why the step is there and what its answers mean."""
    lines = [line for line in (shown.why, shown.reminder) if line]
    lines += list(shown.refusals)
    lines += list(shown.window)
    if shown.step and not shown.field:
        lines += _meanings(view, shown)
    if shown.source:
        lines.append(f"Source: {shown.source}")
    return tuple(lines) or ("The tree says no more about this.",)


def _meanings(view: View, shown: Prompt) -> list[str]:
    head = step_named(view.walk, shown.step).head
    step = step_named(view.walk, shown.step)
    lines = []
    for judgement in getattr(head, "judgements", ()):
        for key, outcome in judgement.answers.items():
            if outcome.means:
                means = fill(view.walk, view.state, step, outcome.means)
                lines.append(f"{outcome.verdict or key}: {means}")
    return lines


def possible(view: View, shown: Prompt) -> tuple[str, ...]:
    """Return the suspects in words: found, pointed to, still possible, cleared.

    Those that the same reading points to, or has cleared, stand together before it. Of what was
    said of a suspect at several steps the latest counts.
    """
    tree = view.walk.tree
    found = {tree.findings[one.finding].suspect for one in view.state.found}
    latest = {one.suspect: one for one in view.state.bearings}
    groups: dict[str, dict[str, list[str]]] = {one: {} for one in _HEADINGS}
    for name, suspect in tree.suspects.items():
        if not holds(suspect.condition, view.state.words):
            continue
        bearing = latest.get(name)
        heading, by = POSSIBLE, suspect.title
        if name in found:
            heading = FOUND
        elif bearing is not None:
            heading, by = CLEARED if bearing.cleared else LIKELY, _said_by(view, bearing)
        groups[heading].setdefault(by, []).append(suspect.title)
    return tuple(
        f"{heading}: {', '.join(names)}{f' ({by})' if heading in (LIKELY, CLEARED) else ''}"
        for heading, several in groups.items()
        for by, names in several.items()
    )


_HEADINGS = FOUND, LIKELY, POSSIBLE, CLEARED = "found", "most likely", "possible", "cleared"


def _said_by(view: View, bearing: Bearing) -> str:
    return f"{step_named(view.walk, bearing.step).title}: {bearing.verdict}"


def zones(view: View, shown: Prompt) -> tuple[str, ...]:
    """Return every zone from the source to the load, in words."""
    lines = zone_lines(view.walk, view.state, None)
    return tuple(f"{one.zone.upper()}: {one.words}" for one in lines)


def standing(walk: WalkTree, state: State) -> tuple[str, ...]:
    """Return what is reported on, off, locked, open and put on: for leaving and for the report."""
    layout = layout_of(walk)
    lines = [f"{one.zone.upper()}: {one.words}" for one in zone_lines(walk, state, None)]
    for device, position in zip(layout.devices, state.power.position, strict=True):
        if position is not Position.CLOSED:
            lines.append(f"{device.name}: {_POSITIONS[position]}")
    lines += [f"open: {name}" for name in open_boxes(walk, state)]
    lines += [f"still on: {item} in {zone}" for item, zone in sorted(state.power.items)]
    return tuple(lines)


_POSITIONS = {
    Position.OPEN: "off, not locked",
    Position.LOCKED: "off, my lock on it",
    Position.TAGGED: "off, tagged out of service",
    Position.THEIRS: "somebody else's lock on it",
    Position.BOTH: "my lock and somebody else's on it",
    Position.IN_DOUBT: "in doubt; take it as on",
    Position.DAMAGED: "damaged; take it as on",
}


def open_boxes(walk: WalkTree, state: State) -> tuple[str, ...]:
    """Return the boxes reported open."""
    boxes = zip(layout_of(walk).boxes, state.power.cover, strict=True)
    return tuple(box.name for box, cover in boxes if cover is not Cover.SHUT)


def leaving(view: View) -> tuple[str, ...]:
    """Return how things stand and what to do before going."""
    state = view.state
    lines = ["As reported now:", *standing(view.walk, state), "Before you go:"]
    lines += [f"Shut the {name}, or have it guarded." for name in open_boxes(view.walk, state)]
    lines += [f"Take off the {item}, or label it." for item, _ in sorted(state.power.items)]
    if {Position.LOCKED, Position.BOTH} & set(state.power.position):
        lines.append("Your lock stays only while you are on the site.")
    lines.append("What was proven now will not count when you come back.")
    return tuple(lines)


def coming_back(view: View) -> tuple[str, ...]:
    """Return how things stood, and why proofs no longer count."""
    return (
        "As reported when you left:",
        *standing(view.walk, view.state),
        "What was proven no longer counts: somebody may have been here. Look round before you "
        "touch anything.",
    )


def customer(view: View, shown: Prompt) -> tuple[str, ...]:
    """Return what can be told the customer at this moment."""
    stopped = any(one.kind is EntryKind.STOP for one in view.mine)
    return words_for(view.walk, view.state, stopped=stopped)
