"""Checks the workings against general-purpose libraries; `./test libraries` runs it in its environment.

Each module of MODULES is a `unittest` module with a `SOURCES` of (library, what of it is compared with). The
program is the one that the environment variable BENCHLEAF names, else target/debug/benchleaf. A library that
is missing or of another version than requirements.txt pins, and a missing program, are failures.
"""

import importlib
import importlib.metadata
import os
import sys
import time
import unittest
from pathlib import Path

# One thread adds in one order: the searches take the same way at every run.
os.environ["OPENBLAS_NUM_THREADS"] = "1"
HERE = Path(__file__).resolve().parent
MODULES = ["units", "formulas", "electrics", "lines", "coax", "packing", "cutting", "loom", "fittings"]


def main():
    problems = wrong_versions() + missing_program()
    if problems:
        sys.exit("\n".join(["The checks against libraries cannot run:", *problems]))
    from checks import Check

    failed = False
    for name in MODULES:
        module = importlib.import_module(name)
        started, before = time.monotonic(), Check.compared
        sources = [f"{library} {importlib.metadata.version(library)}: {part}" for library, part in module.SOURCES]
        result = unittest.TextTestRunner(verbosity=0, stream=Quiet()).run(
            unittest.defaultTestLoader.loadTestsFromModule(module)
        )
        for case, trace in result.failures + result.errors:
            print(f"FAILED {case}\n{trace}")
        # A module without a comparison has lost its tests, and a skipped one was never run.
        sound = result.wasSuccessful() and not result.skipped and Check.compared > before
        failed |= not sound
        print(f"{name}: {'ok' if sound else 'FAILED'}, {Check.compared - before} comparisons in "
              f"{time.monotonic() - started:.1f} s")
        for source in sources:
            print(f"    {source}")
    sys.exit(1 if failed else 0)


class Quiet:
    """Takes unittest's own report, which `main` prints shorter."""

    def write(self, text):
        pass

    def flush(self):
        pass


def wrong_versions():
    """What of requirements.txt is not installed as pinned."""
    lines = (HERE / "requirements.txt").read_text(encoding="utf-8").splitlines()
    problems = []
    for name, _, pinned in (line.partition("==") for line in lines if line and not line.startswith("#")):
        try:
            found = importlib.metadata.version(name)
        except importlib.metadata.PackageNotFoundError:
            found = "missing"
        if found != pinned:
            problems.append(f"  {name} is {found}; requirements.txt wants {pinned}")
    return problems


def missing_program():
    """Settles where the program is, and says so if it is not there."""
    named = os.environ.get("BENCHLEAF") or HERE.parents[1] / "target/debug/benchleaf"
    path = Path(named).resolve()
    os.environ["BENCHLEAF"] = str(path)
    return [] if os.access(path, os.X_OK) and path.is_file() else [f"  there is no program at {path}"]


if __name__ == "__main__":
    main()
