"""The same audit over many processes, on this machine or on a cluster, by Dask's scheduler.

Blocks go out, and each worker writes the parts of its own to the folder that all of them share;
only counts come back. A part is written beside its place and then renamed, so a block may be done
twice, after its first worker was lost, and is still there once.
"""

from __future__ import annotations

import pickle
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import islice
from pathlib import Path
from typing import Any

from crossproof.audit.facts import Auditor
from crossproof.audit.parts import Part, Plan, finished, write_part
from crossproof.audit.run import Task, Work, without_pauses
from crossproof.audit.sampling import Lowest
from crossproof.nearby import Sightings
from crossproof.options import OptionError, Options
from crossproof.read.blocks import Block

# Dask tells glibc to give memory back at once, and looks at what its workers do a hundred times a
# second: together half the time of a block again. An audit gives back its memory by itself.
_LOCALLY: dict[str, Any] = {
    "distributed.nanny.pre-spawn-environ": {"MALLOC_TRIM_THRESHOLD_": None},
    "distributed.worker.profile.enabled": False,
}
IN_FLIGHT = 4  # blocks for each worker that are sent or waiting
RETRIES = 3  # times a block is tried again

_auditors: dict[bytes, Auditor] = {}  # one a process: it remembers names and remarks it has read


@contextmanager
def cluster(*, workers: int = 0, scheduler: str = "") -> Iterator[Work]:
    """A way to do the tasks of an audit on a scheduler: the one at an address, or `workers` here.

    Raises:
        OptionError: dask.distributed is not installed, or no scheduler answers there.
    """
    try:
        import dask
        from distributed import Client, LocalCluster
    except ImportError:
        raise OptionError(
            "many processes need dask.distributed; install it with "
            "pip install 'crossproof[cluster]'"
        ) from None
    if scheduler:
        try:
            client = Client(scheduler, timeout=20)
        except (OSError, ValueError) as error:
            raise OptionError(f"no scheduler answers at {scheduler} ({error})") from None
        with client:
            yield over(client)
        return
    with (
        dask.config.set(_LOCALLY),
        LocalCluster(
            n_workers=workers,
            threads_per_worker=1,
            processes=True,
            host="127.0.0.1",
            dashboard_address=None,
            memory_limit=0,
        ) as local,
        Client(local) as client,
    ):
        yield over(client)


def over(client: Any) -> Work:
    """Do tasks on the workers of a client, a few for each at a time; see `audit.run.here`."""

    def work(tasks: Iterable[Task], auditor: Auditor, plan: Plan) -> Iterator[tuple[Part, int]]:
        from distributed import as_completed

        shared = pickle.dumps(auditor.options)
        seen = auditor.vetter.sightings
        # A small table that every worker needs whole goes to each of them once.
        known = client.scatter(seen, broadcast=True) if seen is not None else None
        lowest = Lowest(plan.most)
        waiting: list[Task] = []
        done: list[tuple[Part, int]] = []

        def fresh() -> Iterator[Task]:
            for block, folder in tasks:
                if part := finished(folder):
                    lowest.add(part.lots)
                    done.append((part, block.size))
                else:
                    yield block, folder

        def send(task: Task) -> Any:
            given = (*task, shared, plan, known, lowest.below)
            return client.submit(do, *given, pure=False, retries=RETRIES, key=task[1].name)

        todo = fresh()
        workers = max(1, len(client.scheduler_info(n_workers=-1)["workers"]))
        waiting = list(islice(todo, IN_FLIGHT * workers))
        running = as_completed([send(task) for task in waiting])
        for future in running:
            part, size = future.result()
            future.release()
            lowest.add(part.lots)
            yield part, size
            for task in islice(todo, 1):
                running.add(send(task))
        yield from done

    return work


def do(
    block: Block,
    folder: Path,
    shared: bytes,
    plan: Plan,
    seen: Sightings | None,
    below: Sequence[int],
) -> tuple[Part, int]:
    """Do one task, in whatever process this is; `shared` are the options, `below` as elsewhere."""
    if shared not in _auditors:
        options: Options = pickle.loads(shared)
        _auditors[shared] = Auditor(options)
    auditor = _auditors[shared]
    if seen is not None:
        auditor.vetter.sightings = seen
    with without_pauses():
        part = finished(folder) or write_part(block, folder, auditor, plan, below)
    return part, block.size
