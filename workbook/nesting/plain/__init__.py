"""The search that needs no compiling: blanks are filled into bars in many orders. It serves a machine without the compiler, and
the first seconds on one where nothing was compiled yet.
"""
