"""Units of work: it is counted, not timed, so that a search is the same on every machine. The unit is about a microsecond."""

LOOK = 0.008  # per body examined, as `separate` counts them
FILL = 4.0  # per pair of blanks filled in
COMPACT = 1200.0  # per blank compacted
CHAIN = 10_000.0  # per chain annealed
LAY = 0.8  # per blank of a sequence tried
STACK = 150_000.0  # per round of layouts in lanes
GO = 100.0  # per attempt, so that one that does nothing counts too
