"""Damaged and strange files of every kind that is read, by hand: no traceback, none slow or large.

``python -m tests.hostile.fuzz_files --count 10000 --seed 1`` (``--only story``); what fails is
kept in ``--keep`` and told.  Time is CPU time of one file, children included; memory is what
the process holds at its highest above what it held when everything was loaded.
"""

import argparse
import resource
import signal
import sys
import tempfile
import time
import traceback
import warnings
from collections import Counter
from pathlib import Path
from random import Random
from types import FrameType

from attrs import define, field

from tests.hostile.built import BUILT
from tests.hostile.damage import damaged
from tests.hostile.kinds import KINDS, Kind

SLOW_SEC = 2.0
LARGE_MB = 300.0
_HANGS_SEC = 60


@define
class Tally:
    """What came of it."""

    tried: Counter[str] = field(factory=Counter)
    failures: list[str] = field(factory=list)
    slowest_sec: float = 0.0
    slowest: str = ""
    largest_mb: float = 0.0


def run(
    count: int, seed: int, folder: Path, keep: Path | None = None, only: tuple[str, ...] = ()
) -> Tally:
    """Try ``count`` damaged or strangely built files; the same seed makes the same."""
    random = Random(seed)
    kinds = [kind for kind in KINDS if not only or kind.name in only]
    whole = {kind.name: kind.whole() for kind in kinds}
    tally = Tally()
    for kind in kinds:  # everything is loaded, and whole files are sound
        for data in whole[kind.name]:
            _try(kind, data, folder, tally, keep, f"whole {kind.name}")
    base_mb = _highest_mb()
    tally.slowest_sec, tally.slowest = 0.0, ""
    for number in range(count):
        kind = random.choices(kinds, [each.share for each in kinds])[0]
        build = BUILT.get(kind.name)
        if build is not None and random.random() < 0.5:
            data = build(whole[kind.name], random)
            if random.random() < 0.1:
                data = damaged(data, whole[kind.name], random)
        else:
            data = damaged(random.choice(whole[kind.name]), whole[kind.name], random)
        _try(kind, data, folder, tally, keep, f"{kind.name} {seed}-{number}")
        now_mb = _highest_mb() - base_mb
        if now_mb > max(tally.largest_mb, LARGE_MB):
            _fail(tally, keep, kind, data, f"{kind.name} {seed}-{number}: {now_mb:.0f} MB")
        tally.largest_mb = max(tally.largest_mb, now_mb)
    return tally


def _try(kind: Kind, data: bytes, folder: Path, tally: Tally, keep: Path | None, name: str) -> None:
    path = folder / f"file{kind.ending}"
    path.write_bytes(data)
    tally.tried[kind.name] += 1
    begin = _cpu_sec()
    signal.alarm(_HANGS_SEC)
    try:
        kind.use(path)
    except BaseException as error:
        if isinstance(error, KeyboardInterrupt):
            raise
        place = traceback.extract_tb(error.__traceback__)[-1]
        said = f"{type(error).__name__}: {error} ({Path(place.filename).name}:{place.lineno})"
        _fail(tally, keep, kind, data, f"{name}: {said[:300]}")
    finally:
        signal.alarm(0)
    took_sec = _cpu_sec() - begin
    if took_sec > SLOW_SEC and not name.startswith("whole"):
        _fail(tally, keep, kind, data, f"{name}: {took_sec:.1f} s")
    if took_sec > tally.slowest_sec:
        tally.slowest_sec, tally.slowest = took_sec, name
    path.unlink(missing_ok=True)


def _fail(tally: Tally, keep: Path | None, kind: Kind, data: bytes, said: str) -> None:
    tally.failures.append(said)
    if keep is not None:
        keep.mkdir(parents=True, exist_ok=True)
        (keep / f"{len(tally.failures):03}-{kind.name}{kind.ending}").write_bytes(data)
        print(said, flush=True)


def _cpu_sec() -> float:
    mine = resource.getrusage(resource.RUSAGE_SELF)
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    return mine.ru_utime + mine.ru_stime + children.ru_utime + children.ru_stime


def _highest_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def _too_long(_number: int, _frame: FrameType | None) -> None:
    raise TimeoutError("no end in sight")


def main() -> None:
    """By hand."""
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--count", type=int, default=1000)
    arguments.add_argument("--seed", type=int, default=1)
    arguments.add_argument("--keep", type=Path, default=Path(tempfile.gettempdir()) / "fuzz")
    arguments.add_argument("--only", action="append", default=[])
    said = arguments.parse_args()
    warnings.simplefilter("error")
    signal.signal(signal.SIGALRM, _too_long)
    begin = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        found = run(said.count, said.seed, Path(folder), said.keep, tuple(said.only))
    print(
        f"{sum(found.tried.values())} files in {time.monotonic() - begin:.0f} s: "
        f"{len(found.failures)} failures; slowest {found.slowest_sec:.2f} s CPU ({found.slowest}); "
        f"{found.largest_mb:.0f} MB at the most\n{dict(found.tried)}"
    )
    sys.exit(bool(found.failures))


if __name__ == "__main__":
    main()
