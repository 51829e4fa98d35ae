"""What differs by system, and nowhere else: locks, what is durable, links, permissions and owners, signals, limits, folders.

Each function branches on `sys.platform` where it is called, so that a test on one system can walk the branch of another.
"""
