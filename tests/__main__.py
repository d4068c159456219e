"""The project's test command: style, types, floors, then the tests.

``python -m tests`` runs the tier that belongs to every change (under five minutes on two cores);
``python -m tests.long`` the one that belongs to the end of a piece of work. Words after the
command go to pytest.
"""

from __future__ import annotations

import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PACKAGES = ("engine", "tui", "tests")
ORACLES = {
    "CoolProp": "CoolProp",
    "z3": "z3-solver",
    "pint": "pint",
    "pyagrum": "pyagrum",
    "pgmpy": "pgmpy",
}
"""Outside judges: import name → distribution. Their tests are skipped where they are missing."""
PROGRAMS = {"ngspice": "a package of the system, for instance apt-get install ngspice"}
"""Outside judges that are programs: name → where it comes from. Skipped where missing, and said."""


def missing_oracles() -> list[str]:
    """Return the distributions that some oracle test would need and that are not installed."""
    return [name for module, name in ORACLES.items() if importlib.util.find_spec(module) is None]


def _types_beside_tests(python: str, arguments: list[str]) -> int:
    """Check the types while the tests run, which wait for screens; return the first exit code."""
    with subprocess.Popen(
        [python, "-m", "mypy", *PACKAGES], cwd=ROOT, stdout=subprocess.PIPE, encoding="utf-8"
    ) as types:
        tests = [python, "-m", "pytest", "-n", "logical", *arguments]
        done = subprocess.run(tests, cwd=ROOT, check=False)
        said, _ = types.communicate()
    print(said, end="")
    return types.returncode or done.returncode


def main(arguments: list[str]) -> int:
    """Run every check and return the first exit code that is not 0."""
    missing = missing_oracles()
    if missing and os.environ.get("HALFSPLIT_ORACLES") == "required":
        print(f"These outside judges must be installed here: {', '.join(missing)}")
        return 1
    python = sys.executable
    lint_imports = shutil.which("lint-imports", path=str(Path(python).parent)) or "lint-imports"
    for check in (
        [python, "-m", "ruff", "check", *PACKAGES],
        [python, "-m", "ruff", "format", "--check", *PACKAGES],
        [lint_imports],
    ):
        done = subprocess.run(check, cwd=ROOT, check=False)
        if done.returncode:
            return done.returncode
    if failed := _types_beside_tests(python, arguments):
        return failed
    if missing:
        print(f"Not tried against: {', '.join(missing)} (pip install -e '.[oracle]').")
    for program, source in PROGRAMS.items():
        if shutil.which(program) is None:
            print(f"Not tried against: {program} ({source}).")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
