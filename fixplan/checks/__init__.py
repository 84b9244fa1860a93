"""The rules, what they found, and what the surgeon accepted."""
