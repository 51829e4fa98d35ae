"""The compiled search. Read in this order: bodies, poses, intervals (what may lie where), separation (the search itself),
lines and compaction (squeezing a found layout), then strip (one bar, short), chain and repeats (starts that suit some
orders), sets and several (which bars to take), and last `search`, which streams layouts out.
"""
