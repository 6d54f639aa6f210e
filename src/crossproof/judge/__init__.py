"""Evidence and rulebook in, verdict out: pure functions that never open a file."""

from crossproof.judge.verdict import judge

__all__ = ["judge"]
