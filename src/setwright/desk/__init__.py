"""One function per job; turns findings into the plan that every surface shows."""
