"""The animal: foot, load on the pan, step, reach, pull."""
