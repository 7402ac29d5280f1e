"""Pages on the loopback address."""
