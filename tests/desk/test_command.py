"""The command: what it refuses, in one sentence, and what it prints."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from crossproof.cli import main


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (["{tmp}"], "verdicts.csv is not there"),
        (["{folder}", "--photos", "{tmp}/none"], "no folder"),
        (["{folder}", "--port", "99999"], "is no port"),
        (["{folder}", "--rulebook", "{tmp}/none.toml"], "none.toml"),
    ],
)
def test_what_cannot_be_opened_is_refused_in_a_sentence(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], why: str
) -> None:
    named = [a.format(folder=folder, tmp=tmp_path) for a in arguments]
    assert main(["desk", *named]) == 2
    said = capsys.readouterr().err
    assert why in said
    assert "Traceback" not in said


def test_a_taken_port_is_told(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert main(["desk", str(folder), "--port", str(port)]) == 2
    assert f"port {port} is taken" in capsys.readouterr().err


def _answer_to_interrupts() -> None:
    """A run started in the background hands on that interrupts are ignored; a terminal does not."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


@contextmanager
def _ended(process: subprocess.Popen[str]) -> Iterator[None]:
    """Leave no server behind, and wait for none, whatever a test finds."""
    try:
        yield
    finally:
        process.kill()


def test_it_listens_on_this_machine_alone_and_stops_when_asked(folder: Path) -> None:
    with (
        subprocess.Popen(
            [sys.executable, "-m", "crossproof", "desk", str(folder)],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            preexec_fn=_answer_to_interrupts,
        ) as desk,
        _ended(desk),
    ):
        assert desk.stdout
        address = re.search(r"http://127\.0\.0\.1:(\d+)/\?token=(\S{32})", desk.stdout.readline())
        assert address
        port = int(address.group(1))
        socket.create_connection(("127.0.0.1", port), 5).close()
        # 127.0.0.2 is this machine too, but not the address that the desk is bound to.
        with pytest.raises(OSError, match="refused"):
            socket.create_connection(("127.0.0.2", port), 5)
        os.kill(desk.pid, signal.SIGINT)
        out, err = desk.communicate(timeout=15)
    assert desk.returncode == 0
    assert "Traceback" not in err
    assert address.group(2) not in out + err
