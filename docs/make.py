"""Make the reference pages that are made from the code and the rulebooks.

    python docs/make.py            write them anew
    python docs/make.py --check    name the ones that are out of date, and exit 1 if any is

A test runs the check, so a page cannot drift from what it describes.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path

from verdict_tables import MADE, line, verdict_index, verdict_page

from crossproof.cli import _parser
from crossproof.findings import catalogue
from crossproof.quality.docs import reference as quality_page
from crossproof.rulebooks.load import shipped

HOME = Path(__file__).parent


# --- findings ------------------------------------------------------------------------------------


def findings_page() -> str:
    """The catalogue of findings."""
    entries = sorted(
        catalogue().values(), key=lambda e: ("error", "warning", "note").index(e.severity)
    )
    lines = [
        "# Findings",
        "",
        MADE.format(what="`findings.toml`"),
        "",
        "A finding is one thing to know about one cell: which file, sheet, row and column, what "
        "stands there, and what would mend it. They are in `findings.csv`. An *error* keeps a row "
        "or a cell from being used, a *warning* may change what it means, a *note* says what was "
        "taken for granted.",
        "",
        line(["code", "kind", "what it says", "why it matters", "what mends it"]),
        line(["---"] * 5),
        *(line([f"`{e.code}`", e.severity, e.title, e.why, e.remedy]) for e in entries),
    ]
    return "\n".join(lines) + "\n"


# --- the command line ----------------------------------------------------------------------------


def command_page() -> str:
    """Every command with its arguments, from the parsers themselves."""
    parser = _parser()
    lines = [
        "# The command line",
        "",
        MADE.format(what="the help of the commands in `src/crossproof/cli/`"),
        "",
        (parser.description or "").strip().replace("<", "&lt;"),
        "",
        (parser.epilog or "").strip().capitalize().replace("\n", " ") + ".",
    ]
    # The description is laid out by hand, so it is shown as it is.
    lines[4] = f"```text\n{(parser.description or '').strip()}\n```"
    for name, help_, command in _commands(parser):
        lines += ["", f"## `crossproof {name}`", "", f"{help_[:1].upper()}{help_[1:]}.", ""]
        lines += _arguments(command)
    return "\n".join(line.rstrip() for line in lines).rstrip() + "\n"


def _commands(
    parser: argparse.ArgumentParser, before: str = ""
) -> Iterator[tuple[str, str, argparse.ArgumentParser]]:
    for action in parser._actions:
        if not isinstance(action, argparse._SubParsersAction):
            continue
        told = {choice.dest: choice.help or "" for choice in action._choices_actions}
        for name, command in action.choices.items():
            if any(isinstance(a, argparse._SubParsersAction) for a in command._actions):
                yield from _commands(command, f"{before}{name} ")
            else:
                yield f"{before}{name}", told.get(name, ""), command


def _arguments(command: argparse.ArgumentParser) -> Iterator[str]:
    shown = [a for a in command._actions if not isinstance(a, argparse._HelpAction)]
    if not shown:
        yield "It takes no arguments."
        return
    yield line(["argument", "meaning"])
    yield line(["---"] * 2)
    for action in shown:
        notes = [action.help or ""]
        notes += ["required"] if action.option_strings and action.required else []
        repeated = isinstance(action, argparse._AppendAction)
        notes += ["may be given more than once"] if repeated else []
        yield line([f"`{_written(action)}`", "; ".join(filter(None, notes))])


def _written(action: argparse.Action) -> str:
    value = _value(action)
    if not action.option_strings:
        return f"{value}…" if action.nargs in ("+", "*") else value
    value = f"[{value}]" if action.nargs == "?" else value
    return " ".join(filter(None, (action.option_strings[-1], value)))


def _value(action: argparse.Action) -> str:
    if action.nargs == 0:
        return ""
    if action.choices:
        return " or ".join(map(str, action.choices))
    return str(action.metavar or action.dest.upper())


# --- all of them ---------------------------------------------------------------------------------


def pages() -> dict[str, Callable[[], str]]:
    """Path under `docs/` → what makes the page."""
    verdicts = {
        f"reference/verdicts/{book.id}.md": partial(verdict_page, book) for book in shipped()
    }
    return {
        "reference/findings.md": findings_page,
        "reference/command-line.md": command_page,
        "reference/quality-tests.md": quality_page,
        "reference/verdicts/index.md": verdict_index,
        **verdicts,
    }


def main(arguments: Sequence[str]) -> int:
    """Write the pages, or check them."""
    stale = []
    for name, make in pages().items():
        path, text = HOME / name, make()
        if path.is_file() and path.read_text(encoding="utf-8") == text:
            continue
        stale.append(name)
        if "--check" not in arguments:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
    for name in stale:
        print(f"{name} is out of date" if "--check" in arguments else f"wrote {name}")
    return 1 if stale and "--check" in arguments else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
