"""`python -m crossproof`."""

from crossproof.cli import main

raise SystemExit(main())
