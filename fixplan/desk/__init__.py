"""The window: canvas, tools and panels."""
