"""What is proved of a tree, in words and as data."""

from __future__ import annotations

from collections.abc import Iterator

from engine.verify.proof import Cost, Costs, Proof, Verdict


def as_data(proof: Proof) -> dict[str, object]:
    """Return the verdict of every property by name, and what finding the cause takes."""
    data: dict[str, object] = {
        "properties": {result.name: str(result.verdict) for result in proof.results}
    }
    open_ = {result.name: result.open for result in proof.results if result.open}
    if open_:
        data["not proved because"] = open_
    if proof.costs:
        data["costs"] = {
            name: {"minutes": round(cost.minutes, 1), "checks": round(cost.checks, 1)}
            for name, cost in _named(proof.costs)
        }
    return data


def in_words(proof: Proof) -> Iterator[str]:
    """Yield lines that say what is proved, refuted and not proved, and what it costs."""
    for verdict in Verdict:
        names = [result.name for result in proof.results if result.verdict is verdict]
        if names:
            yield f"  {verdict}: {', '.join(_shortened(names))}"
    for result in proof.results:
        if result.open:
            yield f"  {result.name}: {result.open}"
    if proof.costs:
        told = ", ".join(
            f"{name} {cost.minutes:.0f} min and {cost.checks:.0f} checks"
            for name, cost in _named(proof.costs)
        )
        yield f"  to the finding: {told}"


def _named(costs: Costs) -> Iterator[tuple[str, Cost]]:
    yield "best", costs.best
    yield "worst", costs.worst
    yield "expected", costs.expected


def _shortened(names: list[str]) -> list[str]:
    """Return names with the rules that follow each other told as a range."""
    told: list[str] = []
    run: list[int] = []
    for name in [*names, ""]:
        number = int(name[1:]) if name[:1] == "R" and name[1:].isdigit() else None
        if run and number != run[-1] + 1:
            told.append(f"R{run[0]}" if len(run) == 1 else f"R{run[0]} to R{run[-1]}")
            run = []
        if number is not None:
            run.append(number)
        elif name:
            told.append(name)
    return told
