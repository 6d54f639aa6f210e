"""What people read: the tables of verdicts and findings, and the page."""
