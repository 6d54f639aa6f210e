"""How properties are searched: the same examples in every run, so that a red run stays red.

`--hypothesis-profile=explore` looks for new ones, and more of them.
"""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("explore", max_examples=1_000, deadline=None)
settings.load_profile("steady")
