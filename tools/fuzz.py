"""Spoiled input for every door: `python -m tools.fuzz`; two minutes on two cores, part of `make test`.

Each input is made from its door's name and its own number, so it comes out the same everywhere. It fails
when the door raises anything but Refused, runs longer than SECONDS, or takes more than MEMORY beyond what
the process had. A failure is made shorter as long as it fails in the same way, and is kept in
`tests/gate/spoiled/`, which a test reads out to its door from then on.

    python -m tools.fuzz --door lab --first 700 --count 1     one input again
"""

import argparse
import hashlib
import os
import random
import re
import resource
import signal
import sys
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

from tools.fuzz_doors import DOORS, Door, rezipped
from turnrow.yard.wrongs import Refused

SECONDS = 5.0  # of one input
MEMORY = 300 * 1024 * 1024  # bytes beyond what the process had when it began
ADDRESSES = 8 * 1024 * 1024 * 1024  # bytes a worker may ask for; a memory bomb ends in MemoryError
CHUNK = 500  # inputs of one task
LONGEST = 64 * 1024  # bytes of an input
TRIES = 300  # to make a failing input shorter
SPOILED = Path(__file__).resolve().parents[1] / "tests" / "gate" / "spoiled"


class TooLong(BaseException):
    """Raised by the alarm, and caught by no door."""


@dataclass(frozen=True)
class Failure:
    door: str
    number: int
    how: str
    data: bytes


def spoiled(door: Door, name: str, number: int) -> bytes:
    """Input `number` of a door."""
    rng = random.Random(f"{name}/{number}")
    data = rng.choice(door.seeds)
    if door.parts and rng.random() < 0.8:
        for _ in range(rng.choice((1, 1, 2))):
            data = rezipped(data, lambda body: _changed(body, door, rng), rng.choice)
        return data[:LONGEST]
    return _changed(data, door, rng)[:LONGEST]


def _changed(data: bytes, door: Door, rng: random.Random) -> bytes:
    for _ in range(rng.choice((1, 1, 2, 3, 6, 12))):
        data = rng.choice(CHANGES)(data, door, rng)
    return data


def _span(data: bytes, rng: random.Random) -> tuple[int, int]:
    start = rng.randrange(len(data) + 1)
    return start, min(len(data), start + rng.choice((0, 1, 1, 2, 4, 9, 30)))


def _byte(data: bytes, door: Door, rng: random.Random) -> bytes:
    at, _ = _span(data, rng)
    return data[:at] + bytes([rng.randrange(256)]) + data[at + 1 :]


def _cut(data: bytes, door: Door, rng: random.Random) -> bytes:
    start, end = _span(data, rng)
    return data[:start] + data[end:]


def _twice(data: bytes, door: Door, rng: random.Random) -> bytes:
    start, end = _span(data, rng)
    return data[:end] + data[start:end] * rng.choice((1, 1, 2, 50, 1000)) + data[end:]


def _word(data: bytes, door: Door, rng: random.Random) -> bytes:
    start, end = _span(data, rng)
    return data[:start] + rng.choice(door.words) + data[rng.choice((start, end)) :]


def _value(data: bytes, door: Door, rng: random.Random) -> bytes:
    """A word in place of what stands between two marks."""
    found = list(re.finditer(rb"[^,;=\n\"<>]+", data))
    if not found:
        return data
    one = rng.choice(found)
    return data[: one.start()] + rng.choice(door.words) + data[one.end() :]


def _lines(data: bytes, door: Door, rng: random.Random) -> bytes:
    """Lines of two inputs in another order."""
    lines = [*data.split(b"\n"), *rng.choice(door.seeds).split(b"\n")]
    rng.shuffle(lines)
    return b"\n".join(lines[: rng.randrange(1, len(lines) + 1)])


def _end(data: bytes, door: Door, rng: random.Random) -> bytes:
    return data[: rng.randrange(len(data) + 1)]


CHANGES: tuple[Callable[[bytes, Door, random.Random], bytes], ...] = (
    _byte, _byte, _cut, _cut, _twice, _word, _word, _word, _value, _value, _value, _lines, _end,
)  # fmt: skip


def fault(door: Door, data: bytes) -> str:
    """How the door fails of it, in one line that is the same for failures of one kind; "" for none."""
    before = peak()
    signal.signal(signal.SIGALRM, _alarm)
    signal.setitimer(signal.ITIMER_REAL, SECONDS)
    began = time.monotonic()
    try:
        door.takes(data)
    except Refused as wrong:
        if not all(one.where and one.do for one in wrong.refusals):
            return "a refusal without its place or what to do"
    except TooLong:
        return "too long"
    except BaseException as wrong:  # a panic of native code is no Exception
        if isinstance(wrong, KeyboardInterrupt | SystemExit):
            raise
        return f"{type(wrong).__name__} in {_place(wrong)}"
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
    if time.monotonic() - began > SECONDS:
        return "too long"
    return "too much memory" if peak() - before > MEMORY else ""


def _alarm(number: int, frame: FrameType | None) -> None:
    raise TooLong


def _place(wrong: BaseException) -> str:
    trace, place = wrong.__traceback__, ""
    while trace is not None:
        code = trace.tb_frame.f_code
        if "turnrow" in code.co_filename:
            place = f"{Path(code.co_filename).name} {code.co_name}"
        trace = trace.tb_next
    return place


def peak() -> int:
    """The most bytes this process has held so far."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024


def shorter(door: Door, data: bytes, how: str) -> bytes:
    """Less of the input that still fails in the same way."""
    size, tries = max(1, len(data) // 2), 0
    while size and tries < TRIES:
        at = 0
        while at < len(data) and tries < TRIES:
            tried = data[:at] + data[at + size :]
            tries += 1
            if fault(door, tried) == how:
                data = tried
            else:
                at += size
        size //= 2
    return data


def run(name: str, first: int, count: int) -> list[Failure]:
    """The failures among `count` inputs of a door, one of each kind, made shorter."""
    door = DOORS[name]
    found: dict[str, Failure] = {}
    for number in range(first, first + count):
        data = spoiled(door, name, number)
        how = fault(door, data)
        if how and how not in found:
            kept = data if how.startswith("too") else shorter(door, data, how)
            found[how] = Failure(name, number, how, kept)
    return list(found.values())


def _begin() -> None:
    hard = resource.getrlimit(resource.RLIMIT_AS)[1]
    if hard == resource.RLIM_INFINITY or hard > ADDRESSES:
        resource.setrlimit(resource.RLIMIT_AS, (ADDRESSES, hard))
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def keep(failure: Failure) -> Path:
    """Keep the input; the file's name begins with its door."""
    SPOILED.mkdir(exist_ok=True)
    mark = hashlib.sha256(failure.data).hexdigest()[:12]
    path = SPOILED / f"{failure.door.replace(' ', '-')}.{mark}"
    path.write_bytes(failure.data)
    return path


def main() -> int:
    given = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    given.add_argument("--door", choices=sorted(DOORS), help="one door instead of all")
    given.add_argument("--first", type=int, default=0, help="number of the first input")
    given.add_argument("--count", type=int, help="how many inputs of each door")
    asked = given.parse_args()
    began, done, failures = time.monotonic(), 0, list[Failure]()
    tasks = [
        (name, start, min(CHUNK, asked.first + (asked.count or door.count) - start))
        for name, door in DOORS.items()
        if asked.door in (None, name)
        for start in range(asked.first, asked.first + (asked.count or door.count), CHUNK)
    ]
    tasks.sort(key=lambda task: -DOORS[task[0]].parts)  # what starts a process of its own comes first
    os.environ["POLARS_MAX_THREADS"] = "1"
    spent: dict[str, float] = dict.fromkeys(DOORS, 0.0)
    with ProcessPoolExecutor(2, initializer=_begin) as pool:
        running = [(task, pool.submit(_timed, *task)) for task in tasks]
        for (name, start, count), one in running:
            try:
                found, seconds = one.result()
            except BrokenProcessPool:
                print(
                    f"a process ended: python -m tools.fuzz --door '{name}' --first {start} --count {count}"
                )
                return 1
            failures += found
            spent[name] += seconds
            done += count
    for name, seconds in spent.items():
        if seconds:
            print(f"{name:16} {sum(c for n, _, c in tasks if n == name):7,} inputs {seconds:6.1f} s")
    of_a_kind = {(one.door, one.how): one for one in reversed(failures)}
    for failure in of_a_kind.values():
        print(f"{failure.door} {failure.number}: {failure.how}; kept as {keep(failure).name}")
    print(f"{done:,} inputs in {time.monotonic() - began:.0f} s, {len(of_a_kind)} kinds of failure")
    return 1 if failures else 0


def _timed(name: str, first: int, count: int) -> tuple[list[Failure], float]:
    began = time.monotonic()
    return run(name, first, count), time.monotonic() - began


if __name__ == "__main__":
    sys.exit(main())
