"""Templates to text: the look of the report, and the desk's own on top of it."""

from __future__ import annotations

import base64
import hashlib
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crossproof.desk.words import words
from crossproof.report.templates import environment

if TYPE_CHECKING:
    from jinja2 import Environment

_HOME = Path(__file__).parent
_REPORT = _HOME.parent / "report"


def render(name: str, **content: Any) -> str:
    """A page from its template."""
    template = _environment().get_template(f"{name}.html.jinja")
    return template.render(style=style()[0], script=script()[0], words=words(), **content)


def policy() -> str:
    """The content security policy: our own style and script by their hashes, and nothing else."""
    return (
        f"default-src 'none'; style-src '{style()[1]}'; script-src '{script()[1]}'; "
        "img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    )


@cache
def style() -> tuple[Any, str]:
    report = (_REPORT / "page.css").read_text(encoding="utf-8")
    return _asset(report + (_HOME / "desk.css").read_text(encoding="utf-8"))


@cache
def script() -> tuple[Any, str]:
    return _asset((_HOME / "desk.js").read_text(encoding="utf-8"))


def _asset(text: str) -> tuple[Any, str]:
    """A text of ours that stands in the page, and its hash (CSP Level 3, section 2.3.1)."""
    from markupsafe import Markup

    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return Markup(text), f"sha256-{base64.b64encode(digest).decode('ascii')}"


@cache
def _environment() -> Environment:
    return environment(_HOME / "templates", _REPORT)
