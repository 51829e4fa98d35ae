"""Layout of blanks on bars: parts and bars in, a stream of better and better verified layouts out, and a bound.

`search.layouts` is the interface: any engine that yields verified layouts can be used behind it.
"""
