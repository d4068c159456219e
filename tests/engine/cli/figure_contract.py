"""The promised figures: their names, what each asks for and the keys of its answer.

Written out here, apart from the code, because scripts and trees depend on the exact words. Each
row: name, what must be given, what may be left out, the keys in order, and a line that answers.
Every figure with a verdict also takes ``accuracy`` and ``resolution``.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Promise:
    """One promised figure."""

    name: str
    needs: tuple[str, ...]
    takes: tuple[str, ...]
    keys: tuple[str, ...]
    line: str

    @property
    def inputs(self) -> set[str]:
        """Return the names of all its inputs."""
        judged = {"accuracy", "resolution"} if "verdict" in self.keys else set()
        return {*self.needs, *self.takes, *judged}


def _promise(name: str, needs: str, takes: str, keys: str, line: str) -> Promise:
    return Promise(name, tuple(needs.split()), tuple(takes.split()), tuple(keys.split()), line)


CONTRACT = (
    _promise(
        "supply",
        "ll ln",
        "low_z load_side",
        "system condition high_leg grounded_leg lost_leg explanation",
        "ll=231.3,231.5,233.3 ln=117,206,115",
    ),
    _promise(
        "open_leg",
        "system ll leg",
        "",
        "to_good_legs to_ground across_pole",
        "system=208Y/120 ll=208 leg=L3",
    ),
    _promise(
        "resistive_load", "watts rated volts", "", "watts ratio", "watts=5000 rated=240 volts=208"
    ),
    _promise(
        "breaker_rating", "marking ll lg", "", "permitted reason", "marking=240 ll=240 lg=120,208"
    ),
    _promise(
        "nameplate_voltage",
        "rated measured",
        "",
        "low high verdict",
        "rated=208-230 measured=197",
    ),
    _promise(
        "unbalance", "values kind", "", "average percent verdict", "values=462,463,455 kind=voltage"
    ),
    _promise(
        "unbalance_effect",
        "percent",
        "",
        "derating_factor extra_temperature_rise_percent",
        "percent=2",
    ),
    _promise(
        "capacitor",
        "amps volts",
        "hertz rated tolerance accuracy resolution",
        "microfarads deviation_percent verdict",
        "amps=3.9 volts=345 hertz=60 rated=35 tolerance=6 accuracy=2.7",
    ),
    _promise("capacitor_current", "microfarads volts", "hertz", "amps", "microfarads=45 volts=370"),
    _promise(
        "capacitor_energy",
        "microfarads volts ohms",
        "",
        "joules seconds_to_50_volts",
        "microfarads=45 volts=370 ohms=20k",
    ),
    _promise(
        "windings",
        "",
        "r12 r23 r13 cr cs sr resolution",
        "common run start lead_resistance condition",
        "r12=1.3 r23=3.8 r13=4.9",
    ),
    _promise(
        "winding_balance",
        "ohms resolution",
        "",
        "percent verdict",
        "ohms=1.2,1.2,1.3 resolution=0.1",
    ),
    _promise(
        "winding_temperature",
        "ohms at",
        "to hot_ohms",
        "ohms temperature",
        "ohms=1.20 at=75 to=160",
    ),
    _promise(
        "insulation",
        "megohms volts",
        "celsius",
        "at_40_celsius floor_megohms verdict",
        "megohms=20 volts=460 celsius=20",
    ),
    _promise(
        "branch_circuit",
        "compressors motors",
        "",
        "mca max_175 size_175 max_225 size_225",
        "compressors=13.5,13.5 motors=1.5,1.5,6.0",
    ),
    _promise(
        "conductor",
        "amps terminals",
        "ambient conductors",
        "awg ampacity",
        "amps=32.1 terminals=60",
    ),
    _promise(
        "ampacity",
        "awg insulation terminals ambient conductors",
        "",
        "amps",
        "awg=10 insulation=90 terminals=75 ambient=45C conductors=3",
    ),
    _promise("trip_time", "rating amps", "", "seconds_at_most", "rating=40 amps=80"),
    _promise("joint", "millivolts amps", "", "milliohms watts", "millivolts=50 amps=40"),
    _promise("poles", "millivolts", "", "percent_above_lowest verdict", "millivolts=40,42,70"),
    _promise(
        "hot_joint", "kelvin amps at_amps", "", "class kelvin_at", "kelvin=12 amps=35 at_amps=60"
    ),
    _promise(
        "voltage_drop",
        "awg phases amps feet volts",
        "",
        "volts percent",
        "awg=10 phases=3 amps=32 feet=120 volts=208",
    ),
    _promise(
        "control_transformer",
        "va secondary",
        "tap supply",
        "amps volts",
        "va=40 secondary=24 tap=240 supply=208",
    ),
    _promise("coil", "volts rated", "", "pull_in highest verdict", "volts=20.8 rated=24"),
    _promise(
        "locked_rotor",
        "lra rated volts amps seconds",
        "",
        "expected fraction verdict",
        "lra=112 rated=230 volts=205 amps=95 seconds=3",
    ),
    _promise("running_amps", "rla amps", "", "percent verdict", "rla=19.2 amps=18"),
    _promise("saturation", "refrigerant psig", "feet", "bubble dew", "refrigerant=R-22 psig=68"),
    _promise(
        "superheat",
        "refrigerant psig temperature",
        "feet",
        "saturation superheat",
        "refrigerant=R-410A psig=120 temperature=52",
    ),
    _promise(
        "subcooling",
        "refrigerant psig temperature",
        "feet",
        "saturation subcooling",
        "refrigerant=R-454B psig=350 temperature=98 feet=500",
    ),
    _promise(
        "target_superheat",
        "wet_bulb outdoor",
        "",
        "target charge_by_weight",
        "wet_bulb=67 outdoor=95",
    ),
    _promise("sensible_heat", "cfm rise", "feet", "btuh", "cfm=2000 rise=20"),
    _promise("total_heat", "cfm in out", "", "btuh tons", "cfm=2000 in=80/67 out=58/57"),
    _promise("airflow_by_heat", "kilowatts rise", "", "cfm", "kilowatts=10 rise=26"),
    _promise("airflow_per_ton", "cfm tons", "", "cfm_per_ton verdict", "cfm=2600 tons=7.5"),
    _promise("trap", "inches_wc pipe_od", "", "height seal overall", "inches_wc=-1.5 pipe_od=1.05"),
    _promise("drain", "tons feet slope", "", "size fall", "tons=7.5 feet=8 slope=0.125"),
    _promise(
        "condensate", "cfm from to", "", "gallons_per_hour", "cfm=2000 from=0.01117 to=0.00967"
    ),
    _promise(
        "series_string",
        "devices",
        "good_node bad_node",
        "checks_at_most open_between",
        "devices=7 good_node=5 bad_node=7",
    ),
)
