"""The numbers of many simulated units at once: nominal, as made, and with their faults.

Owns `Population`: the parameters of every row, drawn within their tolerances, and what a repair
takes back. Row 0 of variations is nominal.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from engine.unit.chance import drawn, row_keys
from engine.unit.faults import Fault, Row
from engine.unit.netlist import Netlist

Reals = NDArray[np.float64]


class Population:
    """Rows of one circuit and their parameters."""

    def __init__(self, netlist: Netlist, rows: Sequence[Row], seed: int) -> None:
        """Draw every row's parameters; raises KeyError for a fault of another unit."""
        self.rows = tuple(rows)
        self.at: Mapping[str, int] = {one.name: at for at, one in enumerate(netlist.params)}
        variations = [row.variation for row in rows]
        self.keys = row_keys(seed, [row.key for row in rows], variations)
        self.varied = np.array(variations) != 0
        nominal = np.array([one.nominal for one in netlist.params])
        self._as_made = np.repeat(nominal[:, None], len(self.rows), axis=1)
        loose = [at for at, one in enumerate(netlist.params) if one.tolerance]
        share = np.array([netlist.params[at].tolerance for at in loose])
        names = [netlist.params[at].name for at in loose]
        spread = 1 + share[:, None] * drawn(self.keys, names) * self.varied
        self._as_made[loose] *= spread
        for row in rows:
            for fault in row.faults:
                for change in fault.changes:
                    if change.param not in self.at:
                        raise KeyError(f"{fault.name}: the unit has no {change.param}")

    @cached_property
    def _having(self) -> list[tuple[Fault, NDArray[np.bool_]]]:
        """Every fault that some row has, and which do, in the order that rows name them."""
        rows_of: dict[str, list[int]] = {}
        faults: dict[str, Fault] = {}
        for at, row in enumerate(self.rows):
            for fault in row.faults:
                faults[fault.name] = fault
                rows_of.setdefault(fault.name, []).append(at)
        found = []
        for name, fault in faults.items():
            has = np.zeros(len(self.rows), dtype=bool)
            has[rows_of[name]] = True
            found.append((fault, has))
        return found

    def values(
        self, which: NDArray[np.intp], repaired: Collection[str] = (), *, sound: bool = False
    ) -> Reals:
        """Return the parameters [params, len(which)], with the faults that are not repaired.

        ``sound`` leaves out the faults that strike a unit while it runs.
        """
        values = self._as_made[:, which]
        for fault, has in self._having:
            if fault.suspect in repaired or (sound and fault.while_running):
                continue
            columns = np.flatnonzero(has[which])
            for change in fault.changes:
                place = self.at[change.param]
                old = values[place, columns] if change.times else 1.0
                values[place, columns] = old * change.value
        return values
