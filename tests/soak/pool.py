"""Worker processes that may crash, hang or eat memory without anybody else's harm.

Every case is bounded: by CPU seconds (the system ends a process that uses more), by elapsed time
(for what waits for ever) and by address space.
"""

from __future__ import annotations

import faulthandler
import multiprocessing
import os
import resource
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from pathlib import Path
from typing import Any

from tests.soak.outcome import Outcome

BROKEN = "broken"


@dataclass(frozen=True)
class Bounds:
    """What a case may use.

    Attributes
    ----------
    cpu : seconds of CPU
    elapsed : seconds by the clock, on a machine that others use too
    memory : address space [bytes]
    """

    cpu: int = 60
    elapsed: float = 600.0
    memory: int = 4 << 30


def run(
    job: Callable[[Any], Outcome],
    cases: Iterable[Any],
    bounds: Bounds = Bounds(),
    workers: int = 2,
) -> Iterator[tuple[Any, Outcome]]:
    """Run a job on each case, in any order, and hand back what came of each.

    Parameters
    ----------
    job : a module's own function, so that a new process can find it
    cases : what it is called with
    bounds : what each call may use
    workers : how many processes

    Yields
    ------
    case, Outcome
        Of a process that ended or was ended, an outcome that says how.
    """
    waiting = iter(cases)
    pool = [Worker(job, bounds) for _ in range(workers)]
    try:
        while True:
            for worker in pool:
                if worker.case is None and (case := next(waiting, None)) is not None:
                    worker.begin(case)
            busy = [worker for worker in pool if worker.case is not None]
            if not busy:
                return
            wait([worker.answers for worker in busy], timeout=1.0)
            for worker in busy:
                outcome = worker.outcome()
                if outcome is not None:
                    case, worker.case = worker.case, None
                    yield case, outcome
    finally:
        for worker in pool:
            worker.end()


class Worker:
    """One process, started again whenever it has ended."""

    def __init__(self, job: Callable[[Any], Outcome], bounds: Bounds) -> None:
        self._job, self._bounds = job, bounds
        self.case: Any = None
        self._begun = 0.0
        self._trace = Path(tempfile.mkstemp(prefix="heatcore-soak-", suffix=".trace")[1])
        self._start()

    def _start(self) -> None:
        context = multiprocessing.get_context("spawn")
        self.answers, theirs = context.Pipe()
        self._process = context.Process(
            target=_work, args=(theirs, self._job, self._bounds, str(self._trace)), daemon=True
        )
        self._process.start()
        theirs.close()

    def begin(self, case: Any) -> None:
        """Give it a case."""
        if not self._process.is_alive():
            self._start()
        self.case, self._begun = case, time.monotonic()
        self.answers.send(case)

    def outcome(self) -> Outcome | None:
        """What came of its case; None while it is at it."""
        try:
            if self.answers.poll():
                answer: Outcome = self.answers.recv()
                return answer
        except (EOFError, ConnectionResetError):
            self._process.join()
            return self._ended(f"the process ended: {_reason(self._process.exitcode)}")
        if time.monotonic() - self._begun > self._bounds.elapsed:
            self._process.kill()
            self._process.join()
            return self._ended(f"no answer within {self._bounds.elapsed:.0f} s")
        return None

    def _ended(self, how: str) -> Outcome:
        self.answers.close()
        where = self._trace.read_text(errors="replace")
        self._start()
        return Outcome(BROKEN, (f"{how}\n{where}",), seconds=float(self._bounds.cpu))

    def end(self) -> None:
        """End the process."""
        self._process.kill()
        self._process.join()
        self.answers.close()
        self._trace.unlink(missing_ok=True)


def _reason(code: int | None) -> str:
    if code is not None and code < 0:
        name = signal.Signals(-code).name
        return "more CPU than it may use" if name == "SIGXCPU" else name
    return f"exit status {code}"


def _work(answers: Connection, job: Callable[[Any], Outcome], bounds: Bounds, trace: str) -> None:
    """Answer cases until nobody asks."""
    resource.setrlimit(resource.RLIMIT_AS, (bounds.memory, bounds.memory))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    with open(trace, "w") as file:
        # Says where a case was when its time was up, or when it crashed; then the process ends.
        faulthandler.enable(file)
        faulthandler.register(signal.SIGXCPU, file, all_threads=False, chain=True)
        while True:
            try:
                case = answers.recv()
            except EOFError:
                return
            used = time.process_time()
            _, most = resource.getrlimit(resource.RLIMIT_CPU)
            resource.setrlimit(resource.RLIMIT_CPU, (int(used) + bounds.cpu + 1, most))
            answers.send(job(case))


def one_thread() -> None:
    """Let libraries use one thread a process: the processes are what runs side by side."""
    for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")


def say(text: str) -> None:
    """Progress."""
    sys.stderr.write(text + "\n")
    sys.stderr.flush()
