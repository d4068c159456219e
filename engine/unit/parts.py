"""The kinds of parts that a unit file can name."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from engine.unit import parts_control, parts_motor, parts_supply
from engine.unit.part import PartKind

PARTS: Mapping[str, PartKind] = MappingProxyType(
    {kind.name: kind for kind in (*parts_supply.KINDS, *parts_motor.KINDS, *parts_control.KINDS)}
)
