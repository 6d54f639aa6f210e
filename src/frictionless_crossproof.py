"""Where frictionless looks for plugins: modules named `frictionless_…` (frictionless 5)."""

from crossproof.frictionless_plugin import CrossproofPlugin as CrossproofPlugin
