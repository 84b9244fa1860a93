"""Tools of the desk: one class per gesture."""
