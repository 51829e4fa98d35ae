"""The compiled search. Read in this order:

bodies, poses, intervals, field: what an outline is to the search, and which heights clash at every shift;
overlaps, moves, separation: the guided local search that moves blanks until none overlap; fill: the first places;
lines, compaction: a found layout squeezed, or mended, by a linear programme;
strip: one bar as short as possible; chain, repeats: starts that suit one lane, and many alike;
stock, ground, greedy, sets, cheaper, emptying, several: which bars to take;
standings: layouts and back; search: all of it as a stream of verified layouts; warm: compiling it.
"""
