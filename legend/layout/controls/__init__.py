"""Lay out what stands round the controls of a panel."""
