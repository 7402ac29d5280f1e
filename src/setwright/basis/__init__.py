"""What every room may know: units, errors, answers, sources, tables, draws."""
