"""Pin paths, drawn regions and the gaps between them, in 3-D."""
