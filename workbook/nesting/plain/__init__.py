"""The search that needs no compiling: it fills blanks into bars in many orders. It serves machines without the compiler, and the
first seconds where nothing is compiled yet.
"""
