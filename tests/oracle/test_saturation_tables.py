"""The saturation tables against CoolProp, between their rows as well as on them."""

from __future__ import annotations

import json
import math
import random

import pytest

from engine.trade.refrigerant import REFRIGERANTS, saturation

CoolProp = pytest.importorskip("CoolProp", reason="CoolProp is not installed: no oracle")

from tests.oracle import make_saturation as maker  # noqa: E402 (needs CoolProp)

SEA_LEVEL = 14.696
CLOSE = 0.1
"""°F; 0.1 °C is what is promised, and this is a little more than half of it."""


@pytest.mark.parametrize("fluid", maker.FLUIDS, ids=lambda fluid: fluid.refrigerant)
def test_interpolation_agrees_with_coolprop_everywhere_in_the_range(fluid: maker.Fluid) -> None:
    rows = json.loads(fluid.file.read_text(encoding="utf-8"))["rows"]
    chosen = random.Random(fluid.refrigerant)
    low, high = math.log(rows[0][0]), math.log(rows[-1][0])
    psia = sorted(math.exp(chosen.uniform(low, high)) for _ in range(60))
    psia = [rows[0][0] + 1e-9, *psia, rows[-1][0] - 1e-9]
    bubble = maker.saturation(fluid, psia, 0)
    dew = maker.saturation(fluid, psia, 1)
    for pressure, low_end, high_end in zip(psia, bubble, dew, strict=True):
        got = saturation(fluid.refrigerant, pressure - SEA_LEVEL)
        assert got.bubble == pytest.approx(low_end, abs=CLOSE)
        assert got.dew == pytest.approx(high_end, abs=CLOSE)


@pytest.mark.parametrize("fluid", maker.FLUIDS, ids=lambda fluid: fluid.refrigerant)
def test_range_reaches_up_to_near_the_critical_point(fluid: maker.Fluid) -> None:
    data = json.loads(fluid.file.read_text(encoding="utf-8"))
    assert data["critical_psia"] == pytest.approx(maker.critical_psia(fluid), abs=0.01)
    assert data["rows"][-1][0] == pytest.approx(fluid.top * data["critical_psia"], rel=1e-4)
    assert data["rows"][0][0] == maker.LOWEST_PSIA


@pytest.mark.skipif(CoolProp.__version__ != "8.0.0", reason="the tables come from CoolProp 8.0.0")
@pytest.mark.parametrize("fluid", maker.FLUIDS, ids=lambda fluid: fluid.refrigerant)
def test_shipped_table_is_what_the_script_writes(fluid: maker.Fluid) -> None:
    made = maker.table(fluid)
    shipped = json.loads(fluid.file.read_text(encoding="utf-8"))
    assert {**made, "rows": None} == {**shipped, "rows": None}
    for here, there in zip(shipped["rows"], made["rows"], strict=True):
        assert here == pytest.approx(there, abs=0.001)


def test_there_is_a_table_for_every_refrigerant_and_no_other() -> None:
    assert {fluid.refrigerant for fluid in maker.FLUIDS} == set(REFRIGERANTS)
    tables = {path.name for path in maker.TABLES.glob("saturation_*.json")}
    assert tables == {fluid.file.name for fluid in maker.FLUIDS}
