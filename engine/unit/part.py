"""What a kind of part is: its settings, what it puts into a circuit, how a wire goes through it.

Owns `PartKind` and `Setting`; `parts` lists the kinds. A part's terminals are called as the
vocabulary calls its points, so that every terminal with a word there is a test point.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field

from engine.quantity import Kind
from engine.unit.netlist import Draft

BESIDE = 1.5e-3 / 100
"""uF a foot between two wires that lie side by side: what makes a ghost of a leg that hangs in the
air; judgement."""

Value = float | str | tuple[str, ...] | tuple[float, ...]
"""A setting as read: a number in its base unit, a word, or several."""


@dataclass(frozen=True, slots=True)
class Setting:
    """One thing that a unit file says of a part."""

    kind: Kind | None = None
    """None for words."""
    default: Value | None = None
    """None where it must be said."""
    words: tuple[str, ...] = ()
    """What it can be, where it is one of a few."""
    many: bool = False


@dataclass(frozen=True, slots=True)
class Placed:
    """A part to be put into a circuit."""

    name: str
    settings: Mapping[str, Value]
    tapped: Collection[str] = ()
    """Windings that some fault is inside of."""

    def number(self, key: str) -> float:
        """Return a setting that is a number."""
        value = self.settings[key]
        assert isinstance(value, float)
        return value

    def word(self, key: str) -> str:
        """Return a setting that is a word."""
        value = self.settings[key]
        assert isinstance(value, str)
        return value

    def words(self, key: str) -> tuple[str, ...]:
        """Return a setting that is several words."""
        value = self.settings[key]
        assert isinstance(value, tuple)
        return tuple(str(one) for one in value)


@dataclass(frozen=True, slots=True)
class PartKind:
    """A kind of part."""

    name: str
    settings: Mapping[str, Setting]
    make: Callable[[Draft, Placed], None]
    through: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    """What may stand in a wire's run without its terminals: "" for the part itself, or a piece of
    it, → the terminal that the finger comes to and the one it leaves by."""
