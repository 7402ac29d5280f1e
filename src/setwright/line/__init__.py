"""The line: the book, the allotment of traps, the kit and the check run."""
