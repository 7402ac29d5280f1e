"""Result to SVG; computes nothing."""
