"""A sound unit put on the bench and held against what its file expects of it."""

from __future__ import annotations

from collections.abc import Iterator

from engine.unit.bench import Bench, When
from engine.unit.faults import Row
from engine.unit.unit import Expected, Unit


def surprises(unit: Unit) -> Iterator[tuple[Expected, str]]:
    """Yield every expected reading that a nominal, sound unit does not give, and what it gives."""
    bench = Bench(unit, [Row()])
    settled = {name: bench.settle(condition) for name, condition in unit.operating.items()}
    for one in unit.expected:
        shown = settled[one.operating].read(one.function, one.points, When.RUNNING)
        reading = shown.reading(0)
        if reading is None:
            yield one, "nothing: the points are live"
        elif reading.quantity is None or not one.low <= reading.quantity.value <= one.high:
            yield one, reading.words()
