"""The one way in which reading fails."""

from __future__ import annotations


class Unreadable(Exception):
    """A file or mapping that cannot be used; its text says what happened, where, what to do."""
