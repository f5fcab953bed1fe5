"""Write artwork, sheets and findings to files, each writer in a module of its own.

Nothing is imported here, so that each command loads what its own writer needs and no more.
"""
