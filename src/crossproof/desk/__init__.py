"""The review page, on this machine only: the queue, one record, and the rulings."""
