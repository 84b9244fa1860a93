"""The schematic limb: bones, landmarks, sections, at the patient's size."""
