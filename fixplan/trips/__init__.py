"""The days after: trips to theatre, what is due, dead space, debridement and cover."""
