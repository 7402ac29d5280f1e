"""The log: events as they were seen, where they are kept, and what they add up to."""
