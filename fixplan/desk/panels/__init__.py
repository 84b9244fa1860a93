"""The panels beside the sheet."""
