"""Keep sensitive places and people's names from what is published."""
