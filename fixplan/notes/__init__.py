"""The plan for the case notes: words, documents for the record, handover, the frame as built."""
