"""Sheets: the plan as a page, as set cards for the hand and as tables."""
