"""The patient's own pictures under the drawing: what is read from them, how they lie, as built."""
