"""The same audit over many processes, on this machine or on a cluster."""
