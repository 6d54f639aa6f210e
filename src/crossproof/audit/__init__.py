"""Hold an old archive of any size to its evidence: what would change, how sure that is, and why."""
