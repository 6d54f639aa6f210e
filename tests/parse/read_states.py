"""What a remark says of leaf and stem, as the composed remarks are compared."""

from __future__ import annotations

from crossproof.parse.remark import parse_remark

MARKED = ("solid_spots", "fine_dots", "transverse_bars", "marked")


def leaf_and_stem(remark: str) -> tuple[str, str]:
    """The states read; marks of whatever kind are `marked`, but for rings."""
    read = parse_remark(remark)
    return ("marked" if read.leaf in MARKED else read.leaf, read.stem)
