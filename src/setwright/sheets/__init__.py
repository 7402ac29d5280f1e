"""What is printed: the plan page and the set cards."""
