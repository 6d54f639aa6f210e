"""The botany, one TOML file per plant group, with its model and loader."""
