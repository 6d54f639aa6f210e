"""Judged records → Darwin Core: the archive, the data package, and checks of either."""
