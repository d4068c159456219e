"""Make the saturation tables from CoolProp: ``python -m tests.oracle.make_saturation``.

Writes one table per refrigerant under ``engine/trade/tables/``, with the version of CoolProp
beside the numbers. CoolProp takes two seconds to import and is no dependency of the product,
so the tables are kept in the repository and the tests hold them against CoolProp again.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import CoolProp
from CoolProp.CoolProp import PQ_INPUTS, AbstractState, PyGuessesStructure, iDmolar

TABLES = Path(__file__).resolve().parents[2] / "engine" / "trade" / "tables"
PASCALS_PER_PSI = 6894.757293168
LOWEST_PSIA = 5.0
STEP = 1.04
"""Ratio of one row's pressure to the row before."""


@dataclass(frozen=True)
class Fluid:
    """A refrigerant, what CoolProp calls it, and how far its model is to be trusted."""

    refrigerant: str
    coolprop: str
    top: float
    """Highest pressure of the table as a fraction of the critical pressure."""
    trust: str

    @property
    def is_mixture(self) -> bool:
        """Return whether CoolProp computes it as a mixture of pure fluids."""
        return self.coolprop.endswith(".mix")

    @property
    def file(self) -> Path:
        """Return the path of its table."""
        name = self.refrigerant.lower().replace("-", "")
        return TABLES / f"saturation_{name}.json"


PURE = "Pure fluid: the reference equation of state, far finer than a gauge."
PSEUDO = (
    "Blend fitted as a single fluid, bubble and dew by their own curves: finer than a gauge, "
    "for the nominal composition only; after a vapour leak the composition has moved."
)
MIXTURE = (
    "Blend computed from a mixture model (mixing terms {terms}): an estimate, to be taken as good "
    "to 1 F, for the nominal composition only."
)
R422D_TERMS = "Lemmon 2004 for R-125 with R-134a, Bell 2016 for either with isobutane"
R454B_TERMS = "Bell 2023 for R-32 with R-1234yf"
FLUIDS = (
    Fluid("R-22", "R22", 0.98, PURE),
    Fluid("R-32", "R32", 0.98, PURE),
    Fluid("R-134a", "R134a", 0.98, PURE),
    Fluid("R-404A", "R404A", 0.98, PSEUDO),
    Fluid("R-407C", "R407C", 0.98, PSEUDO),
    Fluid("R-410A", "R410A", 0.98, PSEUDO),
    Fluid("R-422D", "R422D.mix", 0.94, MIXTURE.format(terms=R422D_TERMS)),
    Fluid("R-454B", "R454B.mix", 0.94, MIXTURE.format(terms=R454B_TERMS)),
)


def fahrenheit(kelvin: float) -> float:
    """Return °F."""
    return (kelvin - 273.15) * 1.8 + 32


def critical_psia(fluid: Fluid) -> float:
    """Return the critical pressure of the fluid in psia."""
    state = AbstractState("HEOS", fluid.coolprop)
    if not fluid.is_mixture:
        return float(state.p_critical()) / PASCALS_PER_PSI
    stable = [point for point in state.all_critical_points() if point.stable]
    return float(stable[0].p) / PASCALS_PER_PSI


def saturation(fluid: Fluid, psia: Sequence[float], quality: int) -> Iterator[float]:
    """Yield °F at each rising pressure; quality 0 is the bubble point, 1 the dew point.

    A mixture's flash fails without a near guess above about 60 % of the critical pressure, so
    each state starts from the one before it, and gaps are bridged in small steps.
    """
    state = AbstractState("HEOS", fluid.coolprop)
    reached = 0.0
    for target in psia:
        if not fluid.is_mixture or not reached:
            state.update(PQ_INPUTS, target * PASCALS_PER_PSI, quality)
        else:
            _climb(state, reached, target, quality)
        reached = target
        yield fahrenheit(state.T())


def _climb(state: AbstractState, start: float, target: float, quality: int) -> None:
    """Bring a mixture from one pressure (psia) to a higher one in steps of at most 1 %."""
    pressure = start
    while pressure < target:
        pressure = min(pressure * 1.01, target)
        near = PyGuessesStructure()
        near.T, near.p, near.rhomolar = state.T(), state.p(), state.rhomolar()
        near.rhomolar_liq = state.saturated_liquid_keyed_output(iDmolar)
        near.rhomolar_vap = state.saturated_vapor_keyed_output(iDmolar)
        near.x = state.mole_fractions_liquid()
        near.y = state.mole_fractions_vapor()
        state.update_with_guesses(PQ_INPUTS, pressure * PASCALS_PER_PSI, quality, near)


def pressures(critical: float, top: float) -> tuple[float, ...]:
    """Return the pressures of a table in psia: equal ratios, the last exactly the top."""
    rows = []
    pressure = LOWEST_PSIA
    while pressure < critical * top:
        rows.append(round(pressure, 3))
        pressure *= STEP
    return (*rows, round(critical * top, 3))


def table(fluid: Fluid) -> dict[str, Any]:
    """Return the table of one refrigerant as it is written."""
    critical = critical_psia(fluid)
    psia = pressures(critical, fluid.top)
    bubble = saturation(fluid, psia, 0)
    dew = saturation(fluid, psia, 1)
    return {
        "source": f"CoolProp {CoolProp.__version__}, HEOS::{fluid.coolprop}",
        "edition": CoolProp.__version__,
        "refrigerant": fluid.refrigerant,
        "trust": fluid.trust,
        "critical_psia": round(critical, 2),
        "columns": ["psia", "bubble F", "dew F"],
        "rows": [[p, round(b, 4), round(d, 4)] for p, b, d in zip(psia, bubble, dew, strict=True)],
    }


def text(made: dict[str, Any]) -> str:
    """Return a table as JSON with one row a line, so that a change shows as a small diff."""
    head = json.dumps({**made, "rows": []}, indent=2, ensure_ascii=False)
    body = ",\n".join(f"    {json.dumps(row)}" for row in made["rows"])
    return head.replace('"rows": []', f'"rows": [\n{body}\n  ]') + "\n"


def main() -> None:
    """Write every table."""
    for fluid in FLUIDS:
        fluid.file.write_text(text(table(fluid)), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
