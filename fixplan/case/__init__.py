"""What was drawn: the case, every change to it, and its file."""
