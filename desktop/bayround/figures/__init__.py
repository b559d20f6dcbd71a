"""The figures of one bay: computed once, rounded once, each able to say how it came about."""
