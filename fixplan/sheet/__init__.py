"""The drawing that is also the printed sheet, as shapes in millimetres."""
