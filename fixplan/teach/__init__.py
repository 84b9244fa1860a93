"""Teaching: exercises made from cases, answers to them, and their marks. Knows no window."""
