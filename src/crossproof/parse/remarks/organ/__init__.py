"""A state word and its organ: what goes with what, what denies it, to what degree."""
