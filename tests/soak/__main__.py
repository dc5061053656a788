"""`make soak`: scene files and mesh files spoilt at random, and a scene of a million triangles.

Whatever is read must be refused in words or give a result, soon; and no result may say that
something holds which does not, by checks that share nothing with the tool's own. What fails is kept
under .cache/soak, with what was said, and the exit status is 1.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from tests.soak.jobs import attempt, file_name, keep
from tests.soak.meshes import cases
from tests.soak.outcome import Outcome
from tests.soak.pool import Bounds, one_thread, run, say

ROOT = Path(__file__).parents[2]
SAVED = ROOT / ".cache" / "soak"
MOST_MEMORY = 2_000_000_000  # bytes, of any one case
LONGEST = 900  # seconds by the clock, for the scene of a million triangles
SHOWN = 20  # failures that are printed in full
PARTS = ("scenes", "meshes", "million")


def main() -> int:
    """Run what is asked for; 1 where anything is wrong."""
    asked = arguments()
    one_thread()
    ends = None if asked.minutes is None else time.monotonic() + 60.0 * asked.minutes
    wrong = 0
    if asked.again:
        return again(asked.again)
    if "scenes" in asked.parts:
        seeds = (f"{asked.seed}-{number}" for number in range(asked.start, asked.scenes))
        wrong += report("scene files", until(ends, seeds), asked.scenes - asked.start)
    if "meshes" in asked.parts:
        made = [case.name for case in cases(asked.garbled)]
        wrong += report("mesh files", until(ends, made), len(made))
    if "million" in asked.parts and (ends is None or time.monotonic() < ends):
        say("a million triangles:")
        wrong += million()
    return int(wrong > 0)


def million() -> int:
    """Evaluate the large scene in a process of its own; 1 where that takes too much."""
    command = [sys.executable, "-m", "tests.soak.million"]
    try:
        done = subprocess.run(command, cwd=ROOT, check=False, timeout=LONGEST)
    except subprocess.TimeoutExpired:
        say(f"WRONG a million triangles: no answer within {LONGEST} s")
        return 1
    return int(done.returncode != 0)


def arguments() -> argparse.Namespace:
    """What the command line asks for."""
    parser = argparse.ArgumentParser(prog="python -m tests.soak", description=__doc__)
    parser.add_argument("--scenes", type=int, default=10_000, help="how many scene files")
    parser.add_argument("--start", type=int, default=0, help="the first one's number")
    parser.add_argument("--seed", type=int, default=1, help="another one makes other files")
    parser.add_argument("--garbled", type=int, default=200, help="garbled mesh files of each form")
    parser.add_argument("--minutes", type=float, help="begin nothing after so long")
    parser.add_argument("--parts", nargs="+", choices=PARTS, default=PARTS)
    parser.add_argument("--again", metavar="CASE", help="one case, by the name that was reported")
    return parser.parse_args()


def again(name: str) -> int:
    """Run one case in this process, and print what is wrong with it."""
    outcome = attempt(name)
    say(f"{name}: {outcome.kind}, {outcome.seconds:.1f} s of CPU, {outcome.peak / 1e6:.0f} MB")
    for fault in outcome.faults:
        say(fault)
    folder = SAVED / file_name(name)
    keep(folder, name)
    say(f"its files: {folder}")
    return int(bool(outcome.faults))


def until(ends: float | None, made: Iterable[str]) -> Iterator[str]:
    """Hand on cases until the time is up."""
    for case in made:
        if ends is not None and time.monotonic() > ends:
            return
        yield case


@dataclass
class Tally:
    """What came of many cases."""

    kinds: Counter[str] = field(default_factory=Counter)
    heaters: int = 0
    seconds: float = 0.0
    slowest: tuple[float, str] = (0.0, "")
    largest: tuple[int, str] = (0, "")
    wrong: int = 0

    def add(self, name: str, outcome: Outcome) -> None:
        """Count one."""
        self.kinds[outcome.kind] += 1
        self.heaters += outcome.heaters
        self.seconds += outcome.seconds
        self.slowest = max(self.slowest, (outcome.seconds, name))
        self.largest = max(self.largest, (outcome.peak, name))
        self.wrong += bool(outcome.faults)

    def __str__(self) -> str:
        kinds = ", ".join(f"{count:,} {kind}" for kind, count in self.kinds.most_common())
        return (
            f"{self.kinds.total():,} ({kinds}; {self.heaters:,} heaters held against FCL), "
            f"{self.seconds:,.0f} s of CPU, slowest {self.slowest[0]:.1f} s ({self.slowest[1]}), "
            f"largest {self.largest[0] / 1e6:,.0f} MB ({self.largest[1]}), {self.wrong} wrong"
        )


def report(what: str, names: Iterable[str], count: int) -> int:
    """Try cases, tell how it goes, keep what fails, and count that."""
    say(f"{count:,} {what}:")
    tally, told = Tally(), time.monotonic()
    for name, outcome in run(attempt, names, Bounds()):
        faults = outcome.faults
        if outcome.peak > MOST_MEMORY:
            faults = (*faults, f"{outcome.peak / 1e6:,.0f} MB of memory")
        tally.add(name, replace(outcome, faults=faults))
        if faults:
            folder = SAVED / file_name(name)
            keep(folder, name)
            (folder / "wrong.txt").write_text("\n".join(faults) + "\n")
            if tally.wrong <= SHOWN:
                say(f"WRONG {name} ({folder}):")
                for fault in faults[:5]:
                    say(f"  {fault[-1500:]}")
        if time.monotonic() - told > 20.0:
            told = time.monotonic()
            say(f"  {tally}")
    say(f"{what}: {tally}")
    return tally.wrong


if __name__ == "__main__":
    sys.exit(main())
