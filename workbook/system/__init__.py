"""All that differs between operating systems: locks, durable writes, links, permissions, owners, signals, limits, folders.

Each function branches on `sys.platform` when it is called, so that a test on one system can run the branch of another.
"""
