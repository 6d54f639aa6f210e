"""What a record rests on: photos, and names given from flowers alone."""
