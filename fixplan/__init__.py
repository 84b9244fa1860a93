"""fixplan: plan a temporary external frame for an open limb fracture, check it, print it."""

__version__ = "0.1.0"
