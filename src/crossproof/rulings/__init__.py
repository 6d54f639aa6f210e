"""What people decided: the ledger of rulings, its table form, and what it does to an output."""
