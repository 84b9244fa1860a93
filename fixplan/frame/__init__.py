"""Bars and clamps laid to pins, lengths, and the starting frames."""
