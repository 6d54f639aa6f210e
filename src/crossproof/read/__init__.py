"""Files → chunks of submitted rows, each row knowing its file, sheet and row number."""

from crossproof.read.errors import Unreadable
from crossproof.read.files import chunks
from crossproof.read.mapping import load_mapping

__all__ = ["Unreadable", "chunks", "load_mapping"]
