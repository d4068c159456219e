"""Readings given beforehand: from the data of a ``.readings.yaml`` file to a walk's answers."""

from __future__ import annotations

from engine.cases import Readings
from engine.loader.building import Building, Names, names, text
from engine.loader.cases import build_answers, build_nameplate


def build_readings(file: Building, data: Names) -> Readings:
    """Return the answers of one walk."""
    job = names(data.get("job"))
    return Readings(
        tree=text(data, "readings for"),
        nameplate=build_nameplate(data.get("nameplate")),
        answers=build_answers(data.get("answers")),
        job={name: what for name, what in job.items() if isinstance(what, str)},
        span=file.document.at(),
    )
