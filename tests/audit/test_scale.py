"""The audit on a real scheduler with processes of its own gives the single process's bytes."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from archives import contents, rows, write

from crossproof.audit import run
from crossproof.audit.run import Progress, audit_to
from crossproof.options import OptionError, Options
from crossproof.scale import IN_FLIGHT, cluster, over

distributed = pytest.importorskip("distributed")


@pytest.fixture(scope="module")
def client() -> Iterator[Any]:
    with (
        distributed.LocalCluster(
            n_workers=2,
            threads_per_worker=1,
            processes=True,
            host="127.0.0.1",
            dashboard_address=None,
        ) as local,
        distributed.Client(local) as connected,
    ):
        yield connected


@pytest.fixture(autouse=True)
def small_blocks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run, "BLOCK_BYTES", 4000)


def sources(folder: Path) -> list[Path]:
    import pyarrow as pa
    import pyarrow.parquet as pq
    from archives import HEADINGS

    columns = [list(column) for column in zip(*rows(200, seed=2), strict=True)]
    table = pa.table(dict(zip(HEADINGS, columns, strict=True)))
    pq.write_table(table, folder / "b.parquet", row_group_size=60)
    return [write(folder / "a.csv", [*rows(300), *rows(20)]), folder / "b.parquet"]


@pytest.mark.parametrize("options", [Options(), Options(parents_near_km=5)], ids=["plain", "near"])
def test_the_bytes_are_those_of_one_process(tmp_path: Path, client: Any, options: Options) -> None:
    archive = sources(tmp_path)
    audit_to(archive, tmp_path / "one", options)
    audit_to(archive, tmp_path / "many", options, work=over(client))
    assert contents(tmp_path / "many") == contents(tmp_path / "one")


class Ended(distributed.diagnostics.plugin.SchedulerPlugin):  # type: ignore[misc]
    """Takes down each task that ends, each time it does."""

    def __init__(self) -> None:
        self.keys: list[str] = []

    def transition(self, key: str, start: str, finish: str, *args: Any, **more: Any) -> None:
        if finish == "memory" and key.startswith("part-"):
            self.keys.append(key)


def test_a_lost_worker_costs_only_its_partition(tmp_path: Path, client: Any) -> None:
    archive = sources(tmp_path)
    audit_to(archive, tmp_path / "one")
    told: list[Progress] = []
    ended = Ended()
    client.cluster.scheduler.add_plugin(ended)

    def kill_one(progress: Progress) -> None:
        told.append(progress)
        if len(told) == 2:
            pids = client.run(os.getpid)
            os.kill(next(iter(pids.values())), signal.SIGKILL)

    audit_to(archive, tmp_path / "many", work=over(client), tell=kill_one)
    assert contents(tmp_path / "many") == contents(tmp_path / "one")
    assert len({progress.rows for progress in told}) == len(told), "a partition came twice"
    assert told[-1].rows == 520
    again = len(ended.keys) - len(set(ended.keys))
    assert again <= IN_FLIGHT, "more was done again than one worker can have had in hand"


def test_a_scheduler_by_its_address(tmp_path: Path, client: Any) -> None:
    archive = sources(tmp_path)
    audit_to(archive, tmp_path / "one")
    with cluster(scheduler=client.scheduler.address) as work:
        audit_to(archive, tmp_path / "many", work=work)
    assert contents(tmp_path / "many") == contents(tmp_path / "one")


def test_no_scheduler_there(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(address: str, timeout: float) -> None:
        raise OSError("nobody listens")

    monkeypatch.setattr(distributed, "Client", refuse)
    with (
        pytest.raises(OptionError, match="no scheduler answers at tcp://"),
        cluster(scheduler="tcp://127.0.0.1:1"),
    ):
        pass
