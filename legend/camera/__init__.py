"""Measure drilled holes, and check letters that were laid, from scans and photographs."""
