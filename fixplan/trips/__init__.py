"""The days after: trips to theatre, clocks, grade, dead space, flags, the ward. No Qt."""
