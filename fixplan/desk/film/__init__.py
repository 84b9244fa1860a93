"""The patient's pictures on the desk: read, kept beside the case, shown under the drawing."""
