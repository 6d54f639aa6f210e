"""`crossproof desk`: the review page, on this machine only."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from crossproof.cli.edge import DONE, Refused, existing_folder, refusals


def add(commands: Any) -> None:
    """Add the command to the parser."""
    desk = commands.add_parser(
        "desk", help="review an output folder in a browser and rule on it, on this machine only"
    )
    desk.add_argument("folder", type=Path, help="a folder that `crossproof vet --out` wrote")
    desk.add_argument("--photos", type=Path, metavar="DIR", help="show the photos in this folder")
    desk.add_argument(
        "--rulebook",
        action="append",
        default=[],
        type=Path,
        metavar="FILE.toml",
        help="a rulebook of your own that `vet` was given",
    )
    desk.add_argument("--by", default="", metavar="NAME", help="your name, to begin with")
    desk.add_argument(
        "--export", type=Path, metavar="DIR", help="where to export to (DIR-ruled beside it)"
    )
    desk.add_argument("--port", type=int, default=0, help="any that is free, if not given")
    desk.add_argument("--open", action="store_true", help="open the address in your browser")
    desk.set_defaults(run=_desk)


def _desk(chosen: argparse.Namespace) -> int:
    try:
        import starlette
        import uvicorn
    except ImportError:
        raise Refused("the desk needs two more packages: pip install 'crossproof[desk]'") from None
    del starlette, uvicorn
    photos = existing_folder(chosen.photos)
    if not 0 <= chosen.port <= 65535:
        raise Refused(f"--port {chosen.port} is no port; give 1024 to 65535, or leave it out")

    def ready(address: str) -> None:
        print(f"The desk is open at {address}", flush=True)
        print("For this machine only. Stop it with Ctrl-C; every ruling is kept.", flush=True)
        if chosen.open:
            import webbrowser

            webbrowser.open(address)

    with refusals():
        from crossproof.desk.desk import open_desk
        from crossproof.desk.serve import PortTaken, serve

        desk = open_desk(
            chosen.folder,
            photos=photos,
            rulebooks=chosen.rulebook,
            export_to=chosen.export,
            by=chosen.by,
        )
        try:
            serve(desk, port=chosen.port, ready=ready)
        except PortTaken:
            raise Refused(f"port {chosen.port} is taken; give another, or leave it out") from None
        except KeyboardInterrupt:
            print("The desk is closed.")
    return DONE
