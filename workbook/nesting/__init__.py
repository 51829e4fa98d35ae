"""Laying blanks out on bars: parts and bars in, a stream of better and better verified layouts out, and a bound.

`search.layouts` is the boundary: any engine that yields verified layouts can stand behind it.
"""
