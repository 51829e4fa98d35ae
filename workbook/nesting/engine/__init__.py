"""The compiled search. Read in this order:

bodies, poses, slabs, intervals, field: how the search represents an outline, and which heights clash at every shift;
overlaps, moves, separation: the guided local search that moves blanks until none overlap; fill: the first places;
lines, compaction: a layout compacted, or repaired, by a linear programme;
strip: one bar as short as possible; chain, sequence: layouts for one lane and for two; lanes, repeats: for many blanks alike;
stock, ground, greedy, sets, cheaper, emptying, several: which bars to take;
standings: conversion to layouts and back; search: all of it as a stream of verified layouts; warm: compiling it.
"""
