"""The shared drawn cases."""

from tests.unit.drawn_cases import any_case, findings, knee, tibia

__all__ = ("any_case", "findings", "knee", "tibia")
