"""Kit: what a frame takes, which trays hold it, and what is missing."""
