"""The order of the checks of a begun tree, and the state that each is done in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from engine.starter.beginning import Beginning, Cause, Glance, Measurement
from engine.starter.samples import names_in
from engine.starter.words_known import DEAD_BOXES, LIVE_BOXES
from engine.vocabulary import Comparison, Vocabulary

CONTROL = "control"
LEAVE = "leave"
UNIT_DEAD = DEAD_BOXES["control box"]
STAGE_ZONES: Mapping[str, str] = {
    "at the thermostat": CONTROL,
    "control box live": CONTROL,
    "disconnect live": "unit",
    "unit dead": "unit",
    "thermostat off": CONTROL,
}
"""Each stage that a begun tree can have, with its zone; in the order in which checks are cheap."""


@dataclass(frozen=True, slots=True)
class Check:
    """A cause as a step: where it is done, and which step follows."""

    cause: Cause
    stage: str
    """Empty for what is done with every box shut."""
    zone: str
    """Empty where it is that of the stage."""
    conditions: tuple[Comparison, ...]
    """When the check applies: the nameplate values of its window must be there."""
    after: str

    @property
    def step(self) -> str:
        """The name of the step."""
        return step_of(self.cause)

    @property
    def mending_stage(self) -> str:
        """The stage in which the cause is mended; empty where somebody else does it."""
        if not self.cause.mending.own:
            return ""
        at_the_wall = self.stage in ("at the thermostat", "thermostat off")
        return DEAD_BOXES["thermostat" if at_the_wall else "control box"]


def step_of(cause: Cause) -> str:
    """Return the name of the step that tells a cause."""
    return f"check-{cause.name}"


def checks(beginning: Beginning, vocabulary: Vocabulary) -> tuple[Check, ...]:
    """Return the checks in their order: with boxes shut, live, dead; the likelier cause first."""
    stages = ("", *STAGE_ZONES)
    placed = [(stage_of(one, vocabulary), one) for one in beginning.causes]
    placed.sort(key=lambda pair: (stages.index(pair[0]), -pair[1].of_ten))
    names = [step_of(cause) for _, cause in placed]
    return tuple(
        Check(
            cause=cause,
            stage=stage,
            zone=_zone(cause, stage, vocabulary),
            conditions=tuple(_conditions(cause, vocabulary)),
            after=after,
        )
        for (stage, cause), after in zip(placed, (*names[1:], LEAVE), strict=True)
    )


def works_at_the_wall(every: Iterable[Check]) -> bool:
    """Return whether hands go into the thermostat: its wires are read first, for line voltage."""
    dead = DEAD_BOXES["thermostat"]
    return any(dead in (one.stage, one.mending_stage) for one in every)


def locks(every: Iterable[Check]) -> bool:
    """Return whether anything is done behind a lock."""
    return any({one.stage, one.mending_stage} & {*DEAD_BOXES.values()} for one in every)


def stages_of(every: Sequence[Check]) -> tuple[str, ...]:
    """Return the stages that the checks and the repairs need."""
    wanted = {name for one in every for name in (one.stage, one.mending_stage)}
    if works_at_the_wall(every):
        wanted.add(LIVE_BOXES["thermostat"])
    return tuple(name for name in STAGE_ZONES if name in wanted)


def stage_of(cause: Cause, vocabulary: Vocabulary) -> str:
    """Return the stage that a cause is told in."""
    how = cause.told_by
    if isinstance(how, Glance):
        return DEAD_BOXES[how.box] if how.box else ""
    box = vocabulary.points[how.leads[0]].box
    return (DEAD_BOXES if how.function.is_dead else LIVE_BOXES)[box]


def _zone(cause: Cause, stage: str, vocabulary: Vocabulary) -> str:
    """Return the zone of a reading where it is not that of its stage."""
    how = cause.told_by
    if isinstance(how, Glance):
        return ""
    zones = {vocabulary.points[lead].zone for lead in how.leads} - {""}
    zone = min(zones - {CONTROL}, default=CONTROL)
    return "" if zone == STAGE_ZONES[stage] else zone


def _conditions(cause: Cause, vocabulary: Vocabulary) -> list[Comparison]:
    if isinstance(cause.told_by, Glance):
        return []
    fields = [vocabulary.fields[name] for name in names_in(cause.told_by)]
    return list(dict.fromkeys(one for field in fields for one in field.condition))


def told_by_reading(every: Iterable[Check]) -> Iterable[tuple[Check, Measurement]]:
    """Yield the checks that read something."""
    for one in every:
        if isinstance(one.cause.told_by, Measurement):
            yield one, one.cause.told_by
