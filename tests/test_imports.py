"""What is imported, and when: `--help` and `import crossproof` wait for no heavy library."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

import crossproof

HEAVY = (
    *("pandas", "numpy", "frictionless", "pyproj", "lxml", "jinja2", "pycountry", "rapidfuzz"),
    *("jsonschema", "python_calamine", "PIL", "pyarrow", "rich", "xlsxwriter"),
)
TELL = "import json, sys; print(json.dumps(sorted(sys.modules)), file=sys.stderr)"


def imported(code: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-X", "utf8", "-c", code], capture_output=True, text=True, check=True
    )
    return {name.partition(".")[0] for name in json.loads(done.stderr.splitlines()[-1])}


@pytest.mark.parametrize(
    "code",
    [
        "import crossproof; dir(crossproof); crossproof.__version__",
        "run(['--help'])",
        "run(['vet', '--help'])",
        "run(['rulebook', '--help'])",
        "run(['form', '--help'])",
        "run(['--version'])",
    ],
)
def test_nothing_heavy(code: str) -> None:
    run = (
        "def run(arguments):\n"
        "    from crossproof.cli import main\n"
        "    try: main(arguments)\n"
        "    except SystemExit as left: assert left.code == 0\n"
    )
    names = imported(f"{run}{code}\n{TELL}")
    assert "crossproof" in names
    assert names & set(HEAVY) == set()


def test_the_names_it_promises_are_there() -> None:
    assert crossproof.__all__ == sorted(crossproof.__all__)
    assert set(crossproof.__all__) <= set(dir(crossproof))
    for name in crossproof.__all__:
        assert getattr(crossproof, name).__name__ == name
    with pytest.raises(AttributeError, match="no attribute 'nonsense'"):
        crossproof.nonsense  # noqa: B018
