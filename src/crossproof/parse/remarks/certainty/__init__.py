"""What is asked, supposed, hearsay, taken back, put right, or was never looked at."""
